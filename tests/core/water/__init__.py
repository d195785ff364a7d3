"""Tests of the water chemistry."""
