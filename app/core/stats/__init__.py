"""General statistics, with no word of the domain."""
