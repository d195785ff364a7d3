"""The water bench: calculators that show their working, and keep nothing by themselves."""
