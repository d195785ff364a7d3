"""The database's history, step by step."""
