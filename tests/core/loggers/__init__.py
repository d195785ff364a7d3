"""Tests: loggers."""
