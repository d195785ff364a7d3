"""Tests: web."""
