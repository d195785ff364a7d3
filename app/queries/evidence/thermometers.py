"""What the thermometers of the tanks showed, day by day, along the way a fish went."""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from operator import itemgetter

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.thermal import TemperatureLog
from app.store.actor import Actor
from app.store.readings import Quantity, ReadingDay
from app.store.stays import Stay
from app.store.tanks import Section, Tank

Daily = tuple[tuple[date, float], ...]
DAY = itemgetter(0)


@dataclass(frozen=True, slots=True)
class Spell:
    """A stay, by tank."""

    tank_id: int
    start: date
    end: date | None


@dataclass(frozen=True, slots=True)
class Thermometers:
    """Daily means by tank, and what each tank is set to."""

    daily: dict[int, Daily]
    set_points: dict[int, float]
    usual_c: float

    def log(self, spells: Iterable[Spell], since: date) -> TemperatureLog:
        """Return the temperatures met along ``spells`` since a day; the last tank's set point goes on."""
        readings: dict[date, float] = {}
        set_point = self.usual_c
        for spell in spells:
            set_point = self.set_points.get(spell.tank_id, self.usual_c)
            if spell.end is not None and spell.end < since:
                continue
            first = max(spell.start, since)
            last = spell.end or date.max
            days = self.daily.get(spell.tank_id, ())
            readings.update(days[bisect_left(days, first, key=DAY) : bisect_right(days, last, key=DAY)])
        return TemperatureLog(tuple(sorted(readings.items())), set_point)


def thermometers(session: Session, actor: Actor, since: date) -> Thermometers:
    """Read the daily means of all tanks since a day."""
    room = actor.fishroom_id
    statement = (
        select(ReadingDay.tank_id, ReadingDay.day, ReadingDay.mean)
        .where(
            ReadingDay.fishroom_id == room,
            ReadingDay.quantity == Quantity.TEMPERATURE,
            ReadingDay.day >= since,
            ReadingDay.day <= actor.today,
        )
        .order_by(ReadingDay.tank_id, ReadingDay.day)
    )
    daily: dict[int, list[tuple[date, float]]] = defaultdict(list)
    for tank_id, day, mean in session.execute(statement):
        daily[tank_id].append((day, mean))
    set_points = session.execute(select(Tank.id, Tank.set_point_c).where(Tank.fishroom_id == room)).all()
    return Thermometers(
        {tank_id: tuple(rows) for tank_id, rows in daily.items()},
        {tank_id: actor.set_point_c if point is None else point for tank_id, point in set_points},
        actor.set_point_c,
    )


def spells_of_fish(session: Session, room: int, fish_ids: list[int]) -> dict[int, list[Spell]]:
    """Return where each fish stood, oldest first."""
    return _spells(session, room, Stay.fish_id, fish_ids)


def spells_of_batches(session: Session, room: int, batch_ids: list[int]) -> dict[int, list[Spell]]:
    """Return where each batch stood, oldest first."""
    return _spells(session, room, Stay.batch_id, batch_ids)


def _spells(session: Session, room: int, column: object, ids: list[int]) -> dict[int, list[Spell]]:
    who = Stay.fish_id if column is Stay.fish_id else Stay.batch_id
    statement = (
        select(who, Section.tank_id, Stay.from_on, Stay.to_on)
        .join(Section, Section.id == Stay.section_id)
        .where(Stay.fishroom_id == room, who.in_(ids))
        .order_by(Stay.from_on, Stay.id)
    )
    found: dict[int, list[Spell]] = defaultdict(list)
    for owner, tank_id, start, end in session.execute(statement):
        if owner is not None:
            found[owner].append(Spell(tank_id, start, end))
    return found
