"""A tank's temperatures in few words: one entry of its history for each season of three months."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from sqlalchemy import extract, func, select
from sqlalchemy.orm import Session

from app.core.quantities import show_temperature
from app.core.wording import MONTHS, many
from app.queries.history import Event
from app.store.actor import Actor
from app.store.readings import Quantity, ReadingDay
from app.store.tanks import Tank


@dataclass(frozen=True, slots=True)
class _Month:
    """All readings of one month."""

    last: date
    low: float
    high: float
    number: int

    @property
    def season(self) -> int:
        """Number the season: December goes with the January after it."""
        return (self.last.year * 12 + self.last.month) // 3


def seasons(session: Session, actor: Actor, tank: Tank) -> list[Event]:
    """Tell the temperatures of each season on the last day that has one, in a single statement."""
    statement = (
        select(
            func.max(ReadingDay.day),
            func.min(ReadingDay.low),
            func.max(ReadingDay.high),
            func.sum(ReadingDay.number),
        )
        .where(
            ReadingDay.fishroom_id == actor.fishroom_id,
            ReadingDay.tank_id == tank.id,
            ReadingDay.quantity == Quantity.TEMPERATURE,
        )
        .group_by(extract("year", ReadingDay.day), extract("month", ReadingDay.day))
        .order_by(func.max(ReadingDay.day))
    )
    months = [_Month(*row) for row in session.execute(statement)]
    found = groupby(months, key=lambda month: month.season)
    return [_told(actor, tank, list(some)) for _, some in found]


def _told(actor: Actor, tank: Tank, months: Sequence[_Month]) -> Event:
    low = show_temperature(min(month.low for month in months), actor.units)
    high = show_temperature(max(month.high for month in months), actor.units)
    ranged = low if low == high else f"{low} to {high}"
    number = sum(month.number for month in months)
    words = f"{many(number, 'temperature')}, {ranged}, {_months(months[0].last, months[-1].last)}"
    return Event(months[-1].last, words, "", "note", ("readings.listing", tank.id), None)


def _months(first: date, last: date) -> str:
    names = [MONTHS[day.month - 1] for day in (first, last)]
    return names[0] if names[0] == names[1] else f"{names[0]} to {names[1]}"
