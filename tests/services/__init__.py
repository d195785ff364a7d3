"""Tests: services."""
