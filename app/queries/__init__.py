"""What is shown: one frozen dataclass a page; reads rows, runs the reckoning, never writes."""
