"""What the thermometers showed: the last of each tank, a tank by day or week, and one by one."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import groupby

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.core.quantities.dated import DatedLine
from app.core.wording import distance_words, many
from app.queries.history import act_of_rows
from app.store.actor import Actor
from app.store.journal import Act
from app.store.readings import Quantity, Reading, ReadingDay, newest
from app.store.session import find, rows
from app.store.tanks import Tank

FAR_OFF_C = 1.5
"""So far from the heater's setting, a reading is worth a word (judgement)."""
OLD_DAYS = 7
SHOWN = 60
SPANS = {"quarter": 91, "year": 365, "all": None}
"""How far back a chart looks, in days; the longer ones by week."""


@dataclass(frozen=True, slots=True)
class LastReading:
    """The latest temperature of a tank, beside what its heater is set to."""

    celsius: float
    taken_at: datetime
    on: date
    set_point_c: float
    ago: str
    old: bool

    @property
    def off_by(self) -> float:
        """How much warmer than set it is, in °C; 0 where that is no matter or the reading is old."""
        off = self.celsius - self.set_point_c
        return off if abs(off) >= FAR_OFF_C and not self.old else 0.0


@dataclass(frozen=True, slots=True)
class DayTemperature:
    """All readings of one day."""

    on: date
    mean: float
    low: float
    high: float
    number: int


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """One reading, and whether this member may take it out."""

    id: int
    on: date
    at: str
    celsius: float
    removable: bool


@dataclass(frozen=True, slots=True)
class ReadingsPage:
    """One tank's readings, newest first, a page at a time."""

    tank_id: int
    name: str
    closed: bool
    last: LastReading | None
    rows: tuple[ReadingRow, ...]
    total: int
    first: int
    newer: int | None
    older: int | None


@dataclass(frozen=True, slots=True)
class TankToRead:
    """A tank on the walk with a thermometer."""

    id: int
    name: str
    last: LastReading | None


def last_readings(
    session: Session, actor: Actor, tank_ids: Sequence[int] | None = None
) -> dict[int, LastReading]:
    """Return the latest reading of every tank (or those asked for)."""
    statement = (
        select(Tank.id, Reading.taken_at, Reading.value, Tank.set_point_c)
        .join(Reading, Reading.id == newest(Tank.id, Quantity.TEMPERATURE))
        .where(Tank.fishroom_id == actor.fishroom_id)
    )
    if tank_ids is not None:
        statement = statement.where(Tank.id.in_(tank_ids))
    return {
        tank_id: _last(actor, at, celsius, actor.set_point_c if point is None else point)
        for tank_id, at, celsius, point in session.execute(statement)
    }


def last_of_each(
    session: Session, actor: Actor, tank_id: int, typed: Iterable[Quantity] = ()
) -> dict[Quantity, list[Reading]]:
    """Return a tank's last reading of each quantity; of those ``typed``, the last one by hand before it."""
    wanted = [newest(tank_id, quantity) for quantity in Quantity]
    wanted += [newest(tank_id, quantity, typed=True) for quantity in typed]
    statement = select(Reading).where(Reading.fishroom_id == actor.fishroom_id, Reading.id.in_(wanted))
    found: dict[Quantity, list[Reading]] = defaultdict(list)
    for one in session.scalars(statement.order_by(Reading.taken_at, Reading.id)):
        found[one.quantity].append(one)
    return found


def _last(actor: Actor, at: datetime, celsius: float, set_point_c: float) -> LastReading:
    on = actor.day(at)
    seconds = (actor.now - at).total_seconds()
    if on == actor.today:
        ago = f"today at {actor.local(at):%H:%M}" if seconds >= 90 else "just now"
    else:
        ago = distance_words(on, actor.today)
    return LastReading(celsius, at, on, set_point_c, ago, (actor.today - on).days > OLD_DAYS)


def by_day(
    session: Session, actor: Actor, tank_id: int, since: date | None = None
) -> tuple[DayTemperature, ...]:
    """Return what a tank's thermometer showed, day by day in the fishroom's dates."""
    statement = (
        select(ReadingDay.day, ReadingDay.mean, ReadingDay.low, ReadingDay.high, ReadingDay.number)
        .where(
            ReadingDay.fishroom_id == actor.fishroom_id,
            ReadingDay.tank_id == tank_id,
            ReadingDay.quantity == Quantity.TEMPERATURE,
        )
        .order_by(ReadingDay.day)
    )
    if since is not None:
        statement = statement.where(ReadingDay.day >= since)
    return tuple(DayTemperature(*row) for row in session.execute(statement))


def by_week(days: Sequence[DayTemperature]) -> tuple[DayTemperature, ...]:
    """Add days up to weeks, each named by its Monday."""
    weeks = groupby(days, key=lambda day: day.on - timedelta(days=day.on.weekday()))
    return tuple(_together(monday, list(found)) for monday, found in weeks)


def _together(on: date, days: list[DayTemperature]) -> DayTemperature:
    number = sum(day.number for day in days)
    mean = sum(day.mean * day.number for day in days) / number
    return DayTemperature(on, mean, min(day.low for day in days), max(day.high for day in days), number)


def readings_page(session: Session, actor: Actor, tank_id: int, first: int = 0) -> ReadingsPage:
    """Read one page of a tank's readings."""
    tank = find(session, Tank, tank_id)
    mine = (
        Reading.fishroom_id == actor.fishroom_id,
        Reading.tank_id == tank.id,
        Reading.quantity == Quantity.TEMPERATURE,
    )
    total = _total(session, actor, tank.id)
    first = max(0, min(first, total - 1))
    found = session.scalars(
        select(Reading).where(*mine).order_by(Reading.taken_at.desc(), Reading.id).offset(first).limit(SHOWN)
    ).all()
    own = _own(session, actor, [reading.id for reading in found])
    return ReadingsPage(
        tank.id,
        tank.name,
        tank.closed_on is not None,
        last_readings(session, actor, [tank.id]).get(tank.id),
        tuple(_row(actor, reading, own) for reading in found),
        total,
        first,
        max(0, first - SHOWN) if first else None,
        first + SHOWN if first + SHOWN < total else None,
    )


def _total(session: Session, actor: Actor, tank_id: int) -> int:
    """Count a tank's temperatures by its days."""
    statement = select(func.sum(ReadingDay.number)).where(
        ReadingDay.fishroom_id == actor.fishroom_id,
        ReadingDay.tank_id == tank_id,
        ReadingDay.quantity == Quantity.TEMPERATURE,
    )
    return int(session.scalar(statement) or 0)


def _own(session: Session, actor: Actor, ids: list[int]) -> set[int]:
    """Return the readings that this member logged."""
    made = act_of_rows(session, actor, "reading", ids)
    acts = rows(session, Act, Act.id.in_(set(made.values())), Act.user_id == actor.user_id)
    mine = {act.id for act in acts}
    return {row_id for row_id, act_id in made.items() if act_id in mine}


def _row(actor: Actor, reading: Reading, own: set[int]) -> ReadingRow:
    at = actor.local(reading.taken_at)
    removable = actor.may_manage or (actor.may_log and reading.id in own)
    return ReadingRow(reading.id, at.date(), f"{at:%H:%M}", reading.value, removable)


def tanks_to_read(session: Session, actor: Actor) -> tuple[TankToRead, ...]:
    """Return the open tanks in walking order, with their last readings."""
    tanks = rows(session, Tank, Tank.closed_on.is_(None), order=(Tank.position, Tank.id))
    last = last_readings(session, actor)
    return tuple(TankToRead(tank.id, tank.name, last.get(tank.id)) for tank in tanks)


def pasted_words(lines: Sequence[DatedLine]) -> str:
    """Say what was read of a paste."""
    good = [line for line in lines if not line.trouble]
    bad = len(lines) - len(good)
    days = {line.day for line in good}
    read = f"{many(len(good), 'temperature')} of {many(len(days), 'day')} read"
    return f"{read}; {many(bad, 'line')} could not be read" if bad else f"{read}. Nothing is saved yet."
