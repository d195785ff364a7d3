"""Which part of a long list a page shows, and where the parts before and after it begin."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Part:
    """From the entry after ``first`` on, at most ``step`` of ``total``; None where there is no way on."""

    first: int
    step: int
    total: int

    @property
    def last(self) -> int:
        """The number of the last entry shown."""
        return min(self.first + self.step, self.total)

    @property
    def newer(self) -> int | None:
        """Where the part before begins."""
        return max(0, self.first - self.step) if self.first else None

    @property
    def older(self) -> int | None:
        """Where the part after begins."""
        return self.last if self.last < self.total else None

    @property
    def whole(self) -> bool:
        """Whether everything fits on one page."""
        return self.newer is None and self.older is None

    @property
    def words(self) -> str:
        """Say where we stand: ``31 to 60 of 212``."""
        return f"{self.first + 1} to {self.last} of {self.total}"


def part(first: int, step: int, total: int) -> Part:
    """Return the part that begins after ``first`` entries, kept within the list."""
    return Part(max(0, min(first, total - 1)), step, total)
