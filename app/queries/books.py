"""The books of batches: every event that changed their numbers, added up by the core."""

from collections import defaultdict
from collections.abc import Callable, Sequence
from datetime import date, datetime

from sqlalchemy import ColumnElement, FromClause, Select, bindparam, literal, select, union_all
from sqlalchemy.orm import Session

from app.core import batches as book
from app.core.batches import Event, Ledger
from app.store.batches import Batch, Count, Keeping, Loss
from app.store.rehomings import Rehoming

MAKERS: dict[str, Callable[[date, int, int], Event]] = {
    "start": book.start,
    "count": book.count,
    "loss": book.loss,
    "rehomed": book.rehomed,
    "kept": book.kept,
    "split out": book.split_out,
}


def _source(
    kind: str, table: FromClause, of: str, day: str, number: ColumnElement[int] | str
) -> Select[str, int, date, int, datetime]:
    """Return the rows of one kind of event; ``of`` names the column of the batch they belong to."""
    c = table.c
    many = c[number] if isinstance(number, str) else number
    rows = select(literal(kind, literal_execute=True), c[of], c[day], many, c.logged_at)
    return rows.where(c[of].in_(bindparam("ids", expanding=True)), c.fishroom_id == bindparam("room"))


BATCH = Batch.__table__
SOURCES = union_all(
    _source("start", BATCH, "id", "started_on", "start_count").where(BATCH.c.start_count > 0),
    _source("count", Count.__table__, "batch_id", "counted_on", "alive"),
    _source("loss", Loss.__table__, "batch_id", "lost_on", "number"),
    _source("rehomed", Rehoming.__table__, "batch_id", "rehomed_on", "number"),
    _source("kept", Keeping.__table__, "batch_id", "kept_on", literal(1)),
    _source("split out", BATCH, "parent_id", "started_on", "start_count"),
)
"""Every event of some batches, in one statement on the bare tables: it is asked at every act."""


def events_of(session: Session, fishroom_id: int, batch_ids: Sequence[int]) -> dict[int, list[Event]]:
    """Return the events of each batch; those of one day carry the order they were logged in."""
    found: dict[int, list[Event]] = defaultdict(list)
    if not batch_ids:
        return found
    told = {"room": fishroom_id, "ids": list(batch_ids)}
    for kind, batch_id, day, number, logged_at in session.execute(SOURCES, told):
        found[batch_id].append(MAKERS[kind](day, number, int(logged_at.timestamp() * 1_000_000)))
    return found


def books(session: Session, fishroom_id: int, batch_ids: Sequence[int]) -> dict[int, Ledger]:
    """Return where the fish of each batch are."""
    found = events_of(session, fishroom_id, batch_ids)
    return {batch_id: book.ledger(found.get(batch_id, ())) for batch_id in batch_ids}
