"""Tests: journeys."""
