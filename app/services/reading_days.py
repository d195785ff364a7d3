"""Keeps the days of readings in step with the readings themselves."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from sqlalchemy import delete, insert, select
from sqlalchemy.orm import Session

from app.store.actor import Actor
from app.store.journal import Change
from app.store.readings import Quantity, Reading, ReadingDay

AT_ONCE = 400
"""Days put together in one go, so that years of a logger's file never stand in memory together."""


def settle(session: Session, actor: Actor, read: Iterable[tuple[int, Quantity, datetime]]) -> None:
    """Add up again the days on which something was read or taken out."""
    zone = ZoneInfo(actor.zone)
    touched: dict[tuple[int, Quantity], set[date]] = defaultdict(set)
    for tank_id, quantity, taken_at in read:
        touched[tank_id, quantity].add(taken_at.astimezone(zone).date())
    session.flush()
    for (tank_id, quantity), days in touched.items():
        ordered = sorted(days)
        for first in range(0, len(ordered), AT_ONCE):
            _add_up(session, actor, tank_id, quantity, ordered[first : first + AT_ONCE])


def after_undo(session: Session, actor: Actor, changes: Sequence[Change]) -> None:
    """Add up the days whose readings an act touched that was taken back."""
    told = [change.before or change.after or {} for change in changes if change.table_name == "reading"]
    kept = [one for one in told if "value" in one]
    settle(
        session,
        actor,
        [
            (one["tank_id"], Quantity(one["quantity"]), datetime.fromisoformat(one["taken_at"]))
            for one in kept
        ],
    )


def _add_up(session: Session, actor: Actor, tank_id: int, quantity: Quantity, days: list[date]) -> None:
    zone = ZoneInfo(actor.zone)
    mine = (Reading.fishroom_id == actor.fishroom_id, Reading.tank_id == tank_id)
    found: dict[date, list[float]] = defaultdict(list)
    for taken_at, value in session.execute(
        select(Reading.taken_at, Reading.value).where(
            *mine,
            Reading.quantity == quantity,
            Reading.taken_at >= datetime.combine(days[0], time.min, zone),
            Reading.taken_at < datetime.combine(days[-1] + timedelta(days=1), time.min, zone),
        )
    ):
        found[taken_at.astimezone(zone).date()].append(value)
    session.execute(
        delete(ReadingDay).where(
            ReadingDay.fishroom_id == actor.fishroom_id,
            ReadingDay.tank_id == tank_id,
            ReadingDay.quantity == quantity,
            ReadingDay.day.in_(days),
        )
    )
    fresh = [_row(actor, tank_id, quantity, day, found[day]) for day in days if found.get(day)]
    if fresh:
        session.execute(insert(ReadingDay), fresh)


def _row(actor: Actor, tank_id: int, quantity: Quantity, day: date, values: list[float]) -> dict[str, object]:
    return {
        "fishroom_id": actor.fishroom_id,
        "tank_id": tank_id,
        "quantity": quantity,
        "day": day,
        "low": min(values),
        "high": max(values),
        "mean": sum(values) / len(values),
        "number": len(values),
    }
