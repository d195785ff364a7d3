"""Tests of the birth models."""
