"""Tests of typed and shown amounts."""
