"""A window: the dates between which something falls, with a stated probability."""

from dataclasses import dataclass
from datetime import date, timedelta


@dataclass(frozen=True, slots=True)
class Window:
    """A central interval of whole days, both ends included.

    ``level`` is the probability that the event falls from ``start`` to ``end``.
    """

    start: date
    end: date
    level: float = 0.8

    @property
    def days(self) -> int:
        """How many days the window holds, both ends counted."""
        return (self.end - self.start).days + 1

    def holds(self, day: date) -> bool:
        """Say whether ``day`` lies in the window."""
        return self.start <= day <= self.end

    def shifted(self, days: int) -> "Window":
        """Return the same window ``days`` later."""
        by = timedelta(days=days)
        return Window(self.start + by, self.end + by, self.level)
