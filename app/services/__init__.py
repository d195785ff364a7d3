"""What is done: one function an act; never commits, always journals."""
