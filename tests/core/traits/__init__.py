"""Tests of the traits reckoning."""
