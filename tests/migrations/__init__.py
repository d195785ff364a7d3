"""Tests: migrations."""
