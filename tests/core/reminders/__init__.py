"""Tests of the reminder rules."""
