"""Keeps the books of batches whole: every entry is added up with all others before it is written."""

from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime, timedelta

from sqlalchemy.orm import Session

from app.core import batches as book
from app.core.batches import Event, Ledger
from app.core.problems import Problem
from app.core.wording import day_words
from app.queries.books import events_of
from app.services.journal import Entry
from app.services.refusals import Refused
from app.services.stays import open_stay, take_out
from app.store.actor import Actor
from app.store.batches import Batch, Count
from app.store.journal import Change
from app.store.session import find, rows
from app.store.stays import Stay
from app.store.tanks import Section

STEP = timedelta(milliseconds=1)
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def next_moment(actor: Actor, events: Iterable[Event]) -> datetime:
    """Return when a new entry is logged: now, but after every entry the book has."""
    last = max((event.order for event in events), default=0)
    return max(actor.now, EPOCH + timedelta(microseconds=last) + STEP)


def order_of(moment: datetime) -> int:
    """Return the order among a day's entries of one logged at a moment."""
    return int(moment.timestamp() * 1_000_000)


def check_entry(session: Session, actor: Actor, batch: Batch, event: Event, field: str) -> datetime:
    """Refuse an entry with which the batch's book would not add up; return when it is logged."""
    if event.day < batch.started_on:
        raise Refused(
            f"{batch.code} was begun on {day_words(batch.started_on, actor.today)}; "
            f"{day_words(event.day, actor.today)} lies before. Give that day or later.",
            "on",
        )
    events = events_of(session, actor.fishroom_id, [batch.id]).get(batch.id, [])
    moment = next_moment(actor, events)
    try:
        book.ledger([*events, Event(event.kind, event.day, event.n, order_of(moment))])
    except Problem as problem:
        raise Refused(_words(session, actor, batch, problem), field) from problem
    return moment


def _words(session: Session, actor: Actor, batch: Batch, problem: Problem) -> str:
    """Say what the book says, and what was counted last."""
    counts = rows(session, Count, Count.batch_id == batch.id, order=(Count.counted_on, Count.logged_at))
    if not counts:
        return f"{batch.code}: {problem.message}"
    last = counts[-1]
    return (
        f"{batch.code}: {problem.message} "
        f"Last counted: {last.alive} on {day_words(last.counted_on, actor.today)}."
    )


def ledger_of(session: Session, actor: Actor, batch: Batch) -> Ledger:
    """Return the batch's book as it stands."""
    return book.ledger(events_of(session, actor.fishroom_id, [batch.id]).get(batch.id, []))


def settle(entry: Entry, batch: Batch) -> Ledger:
    """Close a batch that has no fish left and end its stay; open it again when some turned up."""
    now = ledger_of(entry.session, entry.actor, batch)
    if now.alive == 0:
        _close(entry, batch, emptied_on(now) or batch.started_on)
    elif batch.closed_on is not None:
        _reopen(entry, batch)
    return now


def emptied_on(ledger: Ledger) -> date | None:
    """Return the day from which on nobody was left."""
    day: date | None = None
    for when, alive in reversed(ledger.history):
        if alive:
            break
        day = when
    return day


def _close(entry: Entry, batch: Batch, on: date) -> None:
    stay = open_stay(entry.session, batch=batch)
    if stay is not None:
        on = max(on, stay.from_on)
        take_out(entry, on, batch=batch)
    if batch.closed_on is None or stay is not None:
        entry.change(batch, closed_on=on)


def _reopen(entry: Entry, batch: Batch) -> None:
    """Put a closed batch back where it stood last."""
    stays = rows(entry.session, Stay, Stay.batch_id == batch.id, order=(Stay.from_on, Stay.id))
    entry.change(batch, closed_on=None)
    if not stays or stays[-1].to_on is None:
        return
    if find(entry.session, Section, stays[-1].section_id).closed_on is not None:
        raise Refused(
            f"{batch.code} has fish again, but the section where it stood last was taken out. "
            "Take that back first.",
            "on",
        )
    entry.change(stays[-1], to_on=None)


def after_undo(entry: Entry, changes: Sequence[Change]) -> None:
    """Refuse to take an act back when a book would no longer add up; close or reopen what follows."""
    session, actor = entry.session, entry.actor
    ids = sorted(_touched(changes))
    if not ids:
        return
    events = events_of(session, actor.fishroom_id, ids)
    for batch in rows(session, Batch, Batch.id.in_(ids)):
        try:
            book.ledger(events.get(batch.id, []))
        except Problem as problem:
            raise Refused(
                f"Without this the book of {batch.code} no longer adds up: {problem.message} "
                "Take back first what was logged later.",
                "act",
            ) from problem
        settle(entry, batch)


def _touched(changes: Sequence[Change]) -> set[int]:
    """Return the batches whose numbers an act changed."""
    found: set[int] = set()
    for change in changes:
        kept = {**(change.before or {}), **(change.after or {})}
        if change.table_name == "batch":
            found |= {change.row_id, kept.get("parent_id") or change.row_id}
        elif change.table_name in {"batch_count", "loss", "keeping", "rehoming"} and kept.get("batch_id"):
            found.add(kept["batch_id"])
    return found
