"""Keeps an answer in memory while nothing it rests on has changed."""

from collections import OrderedDict
from collections.abc import Callable

MOST = 128


class Kept:
    """The newest answers, each with the stamp it was made under."""

    def __init__(self, most: int = MOST) -> None:
        """Start with none."""
        self.most = most
        self._answers: OrderedDict[int, tuple[str, bytes]] = OrderedDict()

    def get(self, key: int, stamp: str, make: Callable[[], bytes]) -> bytes:
        """Return the answer made under this very stamp, else a new one."""
        kept = self._answers.get(key)
        if kept is None or kept[0] != stamp:
            kept = (stamp, make())
            self._answers[key] = kept
            while len(self._answers) > self.most:
                self._answers.popitem(last=False)
        return kept[1]
