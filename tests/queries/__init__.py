"""Tests: queries."""
