"""Slows down whoever tries again and again."""

from collections import deque
from datetime import datetime, timedelta
from threading import Lock


class Throttle:
    """At most ``limit`` tries by one key in ``seconds``; kept in memory, one server at a time."""

    def __init__(self, limit: int, seconds: int) -> None:
        """Start with nobody noted."""
        self.limit, self.span = limit, timedelta(seconds=seconds)
        self.tries: dict[str, deque[datetime]] = {}
        self.lock = Lock()

    def allows(self, key: str, now: datetime) -> bool:
        """Note a try and say whether it may go on."""
        with self.lock:
            self._forget(now)
            seen = self.tries.setdefault(key, deque())
            if len(seen) >= self.limit:
                return False
            seen.append(now)
            return True

    def _forget(self, now: datetime) -> None:
        for key in list(self.tries):
            seen = self.tries[key]
            while seen and now - seen[0] > self.span:
                seen.popleft()
            if not seen:
                del self.tries[key]
