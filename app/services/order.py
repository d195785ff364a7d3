"""Places in a row, such as the walk past the tanks and the queue of projects."""

from collections.abc import Sequence
from typing import TypeVar

from app.services.journal import Entry
from app.store.base import Owned

R = TypeVar("R", bound=Owned)


def swapped(row: Sequence[R], one: R, *, up: bool) -> list[R] | None:
    """Return ``row`` with ``one`` and its neighbour changed over; nothing where it stands at the end."""
    here = row.index(one)
    there = here - 1 if up else here + 1
    if not 0 <= there < len(row):
        return None
    moved = list(row)
    moved[here], moved[there] = moved[there], moved[here]
    return moved


def renumber(entry: Entry, row: Sequence[Owned]) -> None:
    """Give each its place, counted from 1."""
    for place, each in enumerate(row, start=1):
        entry.change(each, position=place)
