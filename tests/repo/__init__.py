"""Tests: repo."""
