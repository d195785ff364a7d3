"""Statistics without a word of fish."""
