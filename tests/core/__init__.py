"""Tests of the pure reckoning."""
