"""Takes an act back: its rows become what they were before it."""

from datetime import date, datetime, time
from typing import Any

from sqlalchemy import Date, Time, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from app.services import batch_books, logger_files, reading_days
from app.services.journal import Entry
from app.services.refusals import Refused
from app.store.actor import Actor, Forbidden
from app.store.base import Base, UtcDateTime
from app.store.journal import Act, Change
from app.store.session import find, rows
from app.store.tables import BY_NAME


def undo(session: Session, actor: Actor, act_id: int) -> Act:
    """Take back one act: its rows become what they were, unless something later rests on them."""
    act = find(session, Act, act_id)
    _must_be_undoable(session, actor, act)
    changes = rows(session, Change, Change.act_id == act.id, order=Change.id.desc())
    try:
        with session.begin_nested():
            logger_files.before_undo(session, actor, changes)
            for change in changes:
                _revert(session, change)
            session.flush()
            batch_books.after_undo(Entry.within(session, actor, act), changes)
            reading_days.after_undo(session, actor, changes)
    except IntegrityError as error:
        raise Refused(
            "Something logged later rests on this. Take that back first, then this.", "act"
        ) from error
    act.undone_at = actor.now
    session.flush()
    return act


def _must_be_undoable(session: Session, actor: Actor, act: Act) -> None:
    actor.must_log()
    if not actor.may_manage and act.user_id != actor.user_id:
        raise Forbidden("Helpers can take back only what they logged themselves.")
    if act.undone_at is not None:
        raise Refused("This was taken back already.", "act")
    later = _later_act(session, act)
    if later is not None:
        raise Refused(f"First take back what was logged later: {later.words}", "act")


def _later_act(session: Session, act: Act) -> Act | None:
    """Return the newest act, not undone, that touched a row after ``act`` did."""
    mine = select(Change.table_name, Change.row_id).where(
        Change.act_id == act.id, Change.fishroom_id == act.fishroom_id
    )
    touched = mine.subquery()
    statement = (
        select(Act)
        .join(Change, Change.act_id == Act.id)
        .join(touched, (Change.table_name == touched.c.table_name) & (Change.row_id == touched.c.row_id))
        .where(Act.fishroom_id == act.fishroom_id, Act.id > act.id, Act.undone_at.is_(None))
        .order_by(Act.id.desc())
        .limit(1)
    )
    return session.scalar(statement)


def _revert(session: Session, change: Change) -> None:
    model = BY_NAME[change.table_name]
    if change.before is None:
        row = session.get(model, change.row_id)
        if row is not None:
            session.delete(row)
    elif change.after is None:
        session.add(model(**_values(model, change.before)))
    else:
        row = session.get_one(model, change.row_id)
        for key, value in _values(model, change.before).items():
            setattr(row, key, value)
    session.flush()


def _values(model: type[Base], kept: dict[str, Any]) -> dict[str, Any]:
    """Turn what JSON kept back into what the columns hold."""
    table = model.__table__
    return {key: _value(table.c[key].type, value) for key, value in kept.items()}


def _value(kind: object, value: Any) -> Any:  # noqa: ANN401
    if value is None or not isinstance(value, str):
        return value
    if isinstance(kind, Date):
        return date.fromisoformat(value)
    if isinstance(kind, Time):
        return time.fromisoformat(value)
    if isinstance(kind, UtcDateTime):
        return datetime.fromisoformat(value)
    enum = getattr(kind, "enum_class", None)
    return enum(value) if enum is not None else value
