"""Pure reckoning: arguments in, frozen dataclasses out; no clock, no database."""
