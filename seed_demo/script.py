"""Reads the story: rows of CSV files, each on a day counted back from today."""

import csv
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

DATA = Path(__file__).resolve().parent / "data"


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a file, ``ago`` days before today; an empty cell is None."""

    noun: str
    ago: int
    cells: dict[str, str] = field(repr=False)

    def text(self, name: str) -> str:
        """Return the words of a cell."""
        return self.cells[name]

    def words(self, name: str) -> list[str]:
        """Return the parts of a cell between commas."""
        return [part.strip() for part in self.cells[name].split(",") if part.strip()]

    def whole(self, name: str) -> int:
        """Return a whole number that must be there."""
        return int(self.cells[name])

    def whole_or_none(self, name: str) -> int | None:
        """Return a whole number, or None."""
        return int(self.cells[name]) if self.cells[name] else None

    def number(self, name: str) -> float | None:
        """Return a number, or None."""
        return float(self.cells[name]) if self.cells[name] else None


def read(noun: str) -> Iterator[Row]:
    """Return the rows of one file in its order; without a column ``ago`` they count for no day."""
    with (DATA / f"{noun}.csv").open(encoding="utf-8", newline="") as file:
        for cells in csv.DictReader(file):
            yield Row(noun, int(cells.get("ago", "0")), cells)
