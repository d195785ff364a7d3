"""Tests of the scriptable reckoning."""
