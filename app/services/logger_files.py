"""Taking in a logger's whole file as one act, and taking all of it back.

The file stands in the journal as one logger that bears its name; its readings do not stand there
row by row, for they are known by that logger and go with it.
"""

import hashlib
from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import delete, func, select
from sqlalchemy.orm import Session

from app.core.logger_files import Row
from app.core.wording import day_words, span_words
from app.services.journal import Entry
from app.services.reading_days import settle, settle_span
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.bulk import add_all
from app.store.journal import Change
from app.store.readings import FILE, RAW, Logger, Quantity, Reading
from app.store.session import find, rows
from app.store.tanks import Tank

LONGEST_NAME = 60


def already_there(
    session: Session, actor: Actor, tank_id: int, quantity: Quantity, read: Sequence[Row]
) -> set[datetime]:
    """Return the moments of a file at which some logger or file told the same quantity already."""
    if not read:
        return set()
    statement = select(Reading.taken_at).where(
        Reading.fishroom_id == actor.fishroom_id,
        Reading.tank_id == tank_id,
        Reading.quantity == quantity,
        Reading.logger_id.is_not(None),
        Reading.taken_at >= min(row.at for row in read),
        Reading.taken_at <= max(row.at for row in read),
    )
    return set(session.scalars(statement)) & {row.at for row in read}


def import_file(
    session: Session,
    actor: Actor,
    tank_id: int,
    *,
    name: str,
    text: str,
    read: Sequence[Row],
    quantity: Quantity = Quantity.TEMPERATURE,
) -> Logger:
    """Take in what was read of one column of a file as one act; moments that are there are left out."""
    actor.must_log()
    tank = find(session, Tank, tank_id)
    there = already_there(session, actor, tank.id, quantity, read)
    new = [row for row in read if row.at not in there]
    if not new:
        raise Refused("Every reading of this file is there already.", "file")
    _still_up(actor, tank, new)
    entry = Entry(session, actor, "import readings")
    logger = entry.add(_logger(session, actor, tank, name, _marked(text, quantity)))
    whose = {
        "fishroom_id": actor.fishroom_id,
        "logger_id": logger.id,
        "tank_id": tank.id,
        "quantity": quantity,
    }
    add_all(session, Reading, [{**whose, "taken_at": row.at, "value": row.value} for row in new])
    settle(session, actor, [(tank.id, quantity, row.at) for row in new])
    days = sorted({actor.day(row.at) for row in (new[0], new[-1])})
    ending = "" if len(new) == 1 else "s"
    warm = quantity is Quantity.TEMPERATURE
    called = f"temperature{ending}" if warm else f"reading{ending} of {quantity.value}"
    span = span_words(days[0], days[-1], actor.today)
    entry.tell(f"tank:{tank.id}", f"{tank.name}: {len(new):,} {called} of {span} imported from {logger.name}")
    return logger


def _marked(text: str, quantity: Quantity) -> str:
    """Return what tells one quantity of a file from the others; temperatures go by the file alone."""
    return text if quantity is Quantity.TEMPERATURE else f"{quantity.value}:{text}"


def _still_up(actor: Actor, tank: Tank, new: Sequence[Row]) -> None:
    last = actor.day(max(row.at for row in new))
    if tank.closed_on is not None and last > tank.closed_on:
        raise Refused(
            f"{tank.name} was taken down on {day_words(tank.closed_on)}, and the file goes on to "
            f"{day_words(last)}.",
            "tank_id",
        )


def _logger(session: Session, actor: Actor, tank: Tank, name: str, text: str) -> Logger:
    """Return the logger that stands for a file; the same file is not taken in twice for one tank."""
    digest = hashlib.sha256(f"{actor.fishroom_id}:{tank.id}:{text}".encode()).hexdigest()
    key = f"{FILE}{digest}"[:64]
    if rows(session, Logger, Logger.token_hash == key):
        raise Refused(f"This file was imported for {tank.name} already. Take that back first.", "file")
    return Logger(
        name=_free_name(session, name.strip() or "pasted lines"),
        tank_id=tank.id,
        token_hash=key,
        created_at=actor.now,
        revoked_at=actor.now,
    )


def _free_name(session: Session, name: str) -> str:
    taken = {logger.name for logger in rows(session, Logger)}
    short = name[: LONGEST_NAME - 6]
    numbered = (f"{short} ({number})" for number in range(2, len(taken) + 3))
    return short if short not in taken else next(one for one in numbered if one not in taken)


def before_undo(session: Session, actor: Actor, changes: Sequence[Change]) -> None:
    """Take out all readings of a file whose import is about to be taken back."""
    for change in changes:
        if change.table_name == Logger.__tablename__ and change.before is None:
            _take_out(session, actor, change.row_id)


def _take_out(session: Session, actor: Actor, logger_id: int) -> None:
    """Delete a file's readings; its number is one that this fishroom's journal names."""
    spans = (
        select(RAW.tank_id, RAW.quantity, func.min(RAW.taken_at), func.max(RAW.taken_at))
        .where(RAW.logger_id == logger_id)
        .group_by(RAW.tank_id, RAW.quantity)
    )
    found = session.execute(spans).all()
    gone = delete(Reading).where(Reading.logger_id == logger_id)
    session.execute(gone.execution_options(synchronize_session=False))
    for tank_id, quantity, first, last in found:
        settle_span(session, actor, tank_id, quantity, first, last)
