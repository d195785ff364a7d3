"""Published values that the reckoning must meet, with where they come from."""
