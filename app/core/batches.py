"""The arithmetic of a batch: how many were there, and where each of them went."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from app.core.problems import Problem


class Kind(StrEnum):
    """What can happen to a batch's numbers."""

    START = "start"
    LOSS = "loss"
    COUNT = "count"
    REHOMED = "rehomed"
    KEPT = "kept"
    SPLIT_OUT = "split_out"


DONE = {
    Kind.LOSS: "lost",
    Kind.REHOMED: "rehomed",
    Kind.KEPT: "kept",
    Kind.SPLIT_OUT: "moved to another batch",
}


@dataclass(frozen=True, slots=True)
class Event:
    """One line of a batch's book.

    ``n`` is the fish put in, taken out, or (for a count) found alive; ``order`` is the order in
    which lines of one day were logged.
    """

    kind: Kind
    day: date
    n: int
    order: int = 0


def start(day: date, n: int, order: int = 0) -> Event:
    """``n`` fish put into the batch."""
    return Event(Kind.START, day, n, order)


def loss(day: date, n: int, order: int = 0) -> Event:
    """``n`` fish seen dead or gone."""
    return Event(Kind.LOSS, day, n, order)


def count(day: date, alive: int, order: int = 0) -> Event:
    """Set the level: a count found ``alive`` fish."""
    return Event(Kind.COUNT, day, alive, order)


def rehomed(day: date, n: int, order: int = 0) -> Event:
    """``n`` fish gone to another keeper."""
    return Event(Kind.REHOMED, day, n, order)


def kept(day: date, n: int, order: int = 0) -> Event:
    """``n`` fish held back as broodstock."""
    return Event(Kind.KEPT, day, n, order)


def split_out(day: date, n: int, order: int = 0) -> Event:
    """``n`` fish moved into another batch."""
    return Event(Kind.SPLIT_OUT, day, n, order)


@dataclass(frozen=True, slots=True)
class Ledger:
    """Where a batch's fish are; ``started + found`` always equals all the rest together.

    ``unexplained`` is the part of ``lost`` that only a count showed; fish found again come out of it
    first. ``found`` counts fish above anything the book ever held. ``history`` has the number alive
    at the end of each day with an entry.
    """

    alive: int = 0
    started: int = 0
    lost: int = 0
    rehomed: int = 0
    kept: int = 0
    split_out: int = 0
    found: int = 0
    unexplained: int = 0
    history: tuple[tuple[date, int], ...] = ()


def ledger(events: Iterable[Event]) -> Ledger:
    """Add up a batch's book in date order, lines of one day in the order logged.

    A count with fewer fish than the book adds an unexplained loss. A count with more takes fish back
    out of the unexplained losses, and what is left over was never in the book: ``found``. A fish seen
    dead stays dead.

    Raises
    ------
    Problem
        When a line would take more fish than are there, or holds no possible number.
    """
    book = Ledger()
    for event in sorted(events, key=lambda e: (e.day, e.order)):
        book = _noted(_entered(book, event), event.day)
    return book


def _entered(book: Ledger, event: Event) -> Ledger:
    _check(book, event)
    if event.kind is Kind.START:
        return replace(book, alive=book.alive + event.n, started=book.started + event.n)
    if event.kind is Kind.COUNT:
        return _counted(book, event.n)
    return _taken(book, event)


def _taken(book: Ledger, event: Event) -> Ledger:
    left = book.alive - event.n
    if event.kind is Kind.LOSS:
        return replace(book, alive=left, lost=book.lost + event.n)
    if event.kind is Kind.REHOMED:
        return replace(book, alive=left, rehomed=book.rehomed + event.n)
    if event.kind is Kind.KEPT:
        return replace(book, alive=left, kept=book.kept + event.n)
    return replace(book, alive=left, split_out=book.split_out + event.n)


def _counted(book: Ledger, alive: int) -> Ledger:
    missing = book.alive - alive
    if missing >= 0:
        return replace(book, alive=alive, lost=book.lost + missing, unexplained=book.unexplained + missing)
    back = min(-missing, book.unexplained)
    return replace(
        book,
        alive=alive,
        lost=book.lost - back,
        unexplained=book.unexplained - back,
        found=book.found - missing - back,
    )


def _noted(book: Ledger, day: date) -> Ledger:
    earlier = book.history[:-1] if book.history and book.history[-1][0] == day else book.history
    return replace(book, history=(*earlier, (day, book.alive)))


def _check(book: Ledger, event: Event) -> None:
    least = 0 if event.kind is Kind.COUNT else 1
    if event.n < least:
        raise Problem(f"{event.n} fish can't be entered; give {least} or more", "n")
    if event.kind is not Kind.START and not book.started:
        raise Problem(
            f"the batch holds no fish yet on {_spoken(event.day)}; log first how many it started with", "n"
        )
    if event.kind in DONE and event.n > book.alive:
        raise Problem(
            f"only {book.alive} were alive on {_spoken(event.day)}; {event.n} can't be "
            f"{DONE[event.kind]}. Log a count first if there are more.",
            "n",
        )


def _spoken(day: date) -> str:
    return f"{day.day} {day:%B}"
