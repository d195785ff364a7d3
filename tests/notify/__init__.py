"""Tests: notify."""
