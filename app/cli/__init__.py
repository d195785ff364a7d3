"""The command line: what can be done from a terminal."""
