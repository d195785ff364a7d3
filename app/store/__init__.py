"""What is kept: the tables, one noun a file."""
