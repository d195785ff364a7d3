"""The scriptable reckoning: JSON in, JSON out, no database."""
