"""Keeps the days of readings in step with the readings themselves."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from sqlalchemy import delete, func, insert, select
from sqlalchemy.orm import Session

from app.store.actor import Actor
from app.store.journal import Change
from app.store.readings import Quantity, Reading, ReadingDay
from app.store.tanks import Tank

AT_ONCE = 400
"""Days put together in one go, so that years of a logger's file never stand in memory together."""
APART = timedelta(days=7)
"""Days further apart than this are put together by themselves, so that what lies between is not read."""


def settle(session: Session, actor: Actor, read: Iterable[tuple[int, Quantity, datetime]]) -> None:
    """Add up again the days on which something was read or taken out, for all tanks of a quantity at once."""
    zone = ZoneInfo(actor.zone)
    tanks: dict[Quantity, set[int]] = defaultdict(set)
    days: dict[Quantity, set[date]] = defaultdict(set)
    for tank_id, quantity, taken_at in read:
        tanks[quantity].add(tank_id)
        days[quantity].add(taken_at.astimezone(zone).date())
    session.flush()
    _one_at_a_time(session, set().union(*tanks.values()))
    for quantity, touched in days.items():
        for run in _runs(sorted(touched)):
            _add_up(session, actor, tanks[quantity], quantity, run)


def _one_at_a_time(session: Session, tank_ids: set[int]) -> None:
    """Wait for whoever adds up days of the same tanks; SQLite lets only one write anyway."""
    statement = select(Tank.id).where(Tank.id.in_(tank_ids)).order_by(Tank.id)
    session.execute(statement.with_for_update(key_share=True)).all()


def _runs(days: Sequence[date]) -> Iterator[list[date]]:
    """Part rising days where a gap is wide or a run is long."""
    run: list[date] = []
    for day in days:
        if run and (day - run[-1] > APART or len(run) == AT_ONCE):
            yield run
            run = []
        run.append(day)
    if run:
        yield run


def settle_all(session: Session, actor: Actor) -> None:
    """Add up every day anew, once the fishroom's days begin at another moment."""
    room = actor.fishroom_id
    session.execute(delete(ReadingDay).where(ReadingDay.fishroom_id == room))
    spans = (
        select(Reading.tank_id, Reading.quantity, func.min(Reading.taken_at), func.max(Reading.taken_at))
        .where(Reading.fishroom_id == room)
        .group_by(Reading.tank_id, Reading.quantity)
    )
    for tank_id, quantity, first, last in session.execute(spans).all():
        settle_span(session, actor, tank_id, quantity, first, last)


def settle_span(
    session: Session, actor: Actor, tank_id: int, quantity: Quantity, first: datetime, last: datetime
) -> None:
    """Add up again every day from one moment to another."""
    zone = ZoneInfo(actor.zone)
    begin, end = first.astimezone(zone).date(), last.astimezone(zone).date()
    _one_at_a_time(session, {tank_id})
    for run in _runs([begin + timedelta(days=n) for n in range((end - begin).days + 1)]):
        _add_up(session, actor, {tank_id}, quantity, run)


def after_undo(session: Session, actor: Actor, changes: Sequence[Change]) -> None:
    """Add up the days whose readings an act touched that was taken back, or all if the days shifted."""
    zones = [change.before["time_zone"] for change in changes if change.before and _shifted(change)]
    if zones:
        settle_all(session, replace(actor, zone=zones[0]))
        return
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


def _shifted(change: Change) -> bool:
    """Say whether a change moved the hour at which the fishroom's days begin."""
    before, after = change.before or {}, change.after or {}
    return change.table_name == "fishroom" and before.get("time_zone") != after.get("time_zone")


def _add_up(session: Session, actor: Actor, tank_ids: set[int], quantity: Quantity, days: list[date]) -> None:
    zone = ZoneInfo(actor.zone)
    found: dict[tuple[int, date], list[float]] = defaultdict(list)
    for tank_id, taken_at, value in session.execute(
        select(Reading.tank_id, Reading.taken_at, Reading.value).where(
            Reading.fishroom_id == actor.fishroom_id,
            Reading.tank_id.in_(tank_ids),
            Reading.quantity == quantity,
            Reading.taken_at >= datetime.combine(days[0], time.min, zone),
            Reading.taken_at < datetime.combine(days[-1] + timedelta(days=1), time.min, zone),
        )
    ):
        found[tank_id, taken_at.astimezone(zone).date()].append(value)
    session.execute(
        delete(ReadingDay).where(
            ReadingDay.fishroom_id == actor.fishroom_id,
            ReadingDay.tank_id.in_(tank_ids),
            ReadingDay.quantity == quantity,
            ReadingDay.day.in_(days),
        )
    )
    asked = set(days)
    fresh = [_row(actor, tank, quantity, day, read) for (tank, day), read in found.items() if day in asked]
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
