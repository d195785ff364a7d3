"""What a page asks for: one file a noun."""
