"""Tests of the lineage reckoning."""
