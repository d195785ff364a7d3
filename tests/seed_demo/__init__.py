"""Tests: seed_demo."""
