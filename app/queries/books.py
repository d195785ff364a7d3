"""The books of batches: every event that changed their numbers, added up by the core."""

from collections import defaultdict
from collections.abc import Callable, Sequence
from datetime import date, datetime
from typing import Any

from sqlalchemy import Select, literal, select
from sqlalchemy.orm import Session

from app.core import batches as book
from app.core.batches import Event, Ledger
from app.store.batches import Batch, Count, Keeping, Loss
from app.store.rehomings import Rehoming

Rows = Select[Any, date, int, datetime]
Maker = Callable[[date, int, int], Event]


def events_of(session: Session, fishroom_id: int, batch_ids: Sequence[int]) -> dict[int, list[Event]]:
    """Return the events of each batch; those of one day carry the order they were logged in."""
    found: dict[int, list[Event]] = defaultdict(list)
    if not batch_ids:
        return found
    for make, statement in _sources(fishroom_id, batch_ids):
        for batch_id, day, number, logged_at in session.execute(statement):
            found[batch_id].append(make(day, number, int(logged_at.timestamp() * 1_000_000)))
    return found


def _sources(room: int, ids: Sequence[int]) -> tuple[tuple[Maker, Rows], ...]:
    """Return how to make each kind of event, and the rows to make it of."""
    return (
        (
            book.start,
            select(Batch.id, Batch.started_on, Batch.start_count, Batch.logged_at).where(
                Batch.fishroom_id == room, Batch.id.in_(ids), Batch.start_count > 0
            ),
        ),
        (
            book.count,
            select(Count.batch_id, Count.counted_on, Count.alive, Count.logged_at).where(
                Count.fishroom_id == room, Count.batch_id.in_(ids)
            ),
        ),
        (
            book.loss,
            select(Loss.batch_id, Loss.lost_on, Loss.number, Loss.logged_at).where(
                Loss.fishroom_id == room, Loss.batch_id.in_(ids)
            ),
        ),
        (
            book.rehomed,
            select(Rehoming.batch_id, Rehoming.rehomed_on, Rehoming.number, Rehoming.logged_at).where(
                Rehoming.fishroom_id == room, Rehoming.batch_id.in_(ids)
            ),
        ),
        (
            book.kept,
            select(Keeping.batch_id, Keeping.kept_on, literal(1), Keeping.logged_at).where(
                Keeping.fishroom_id == room, Keeping.batch_id.in_(ids)
            ),
        ),
        (
            book.split_out,
            select(Batch.parent_id, Batch.started_on, Batch.start_count, Batch.logged_at).where(
                Batch.fishroom_id == room, Batch.parent_id.in_(ids)
            ),
        ),
    )


def books(session: Session, fishroom_id: int, batch_ids: Sequence[int]) -> dict[int, Ledger]:
    """Return where the fish of each batch are."""
    found = events_of(session, fishroom_id, batch_ids)
    return {batch_id: book.ledger(found.get(batch_id, ())) for batch_id in batch_ids}
