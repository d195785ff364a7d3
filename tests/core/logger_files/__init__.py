"""Tests: logger files."""
