"""Plays the thermometers: a season's wave in every tank, days nobody read them, a heater that failed."""

import random
from collections.abc import Iterator, Sequence
from datetime import datetime, time
from math import cos, pi
from zoneinfo import ZoneInfo

from app.services.reading_days import settle
from app.services.readings import Shown, log_readings
from app.store.readings import Quantity, Reading
from app.store.session import rows
from app.store.tanks import Tank
from seed_demo.script import Row, read
from seed_demo.stage import Stage

READ_AT = time(17, 30)
WARMEST = 205
"""Day of the year on which a room north of the Alps is warmest, late July; invented like the rest."""
SUMMER_C, NOISE_C = 1.2, 0.25
SKIPPED, SKIPPED_AT_FIRST, DAILY_SINCE = 0.12, 0.6, 120
"""One day in eight nobody reads the thermometer; until four months ago it was more than every other."""
WALKED_DAYS = 7
"""In the last week the keeper wrote the temperatures down on the walk."""


class Thermometers:
    """The readings of all tanks, written down as the story reaches each day."""

    def __init__(self) -> None:
        """Start with nothing read and the dice at the same place every time."""
        self._dice = random.Random(7)  # noqa: S311 - made-up weather, no secret
        self._troubles = list(read("troubles"))
        self._next: int | None = None

    def read_until(self, stage: Stage, ago: int) -> None:
        """Add the readings of every day since the last call up to ``ago`` days before the last day."""
        tanks = rows(stage.session, Tank)
        first = ago if self._next is None else self._next
        self._next = ago - 1
        unsettled: list[tuple[int, Quantity, datetime]] = []
        for day in range(first, ago - 1, -1):
            shown = list(self._day(stage, tanks, day))
            if day <= WALKED_DAYS and shown:
                log_readings(stage.session, stage.actor, shown)
            else:
                stage.session.add_all(_row(stage, one) for one in shown)
                unsettled += [(one.tank_id, Quantity.TEMPERATURE, one.taken_at) for one in shown]
        settle(stage.session, stage.actor, unsettled)

    def _day(self, stage: Stage, tanks: Sequence[Tank], ago: int) -> Iterator[Shown]:
        taken = datetime.combine(stage.day(ago), READ_AT, ZoneInfo(stage.actor.zone))
        for tank in tanks:
            skipped = self._dice.random() < (SKIPPED if ago <= DAILY_SINCE else SKIPPED_AT_FIRST)
            noise = self._dice.gauss(0, NOISE_C)
            trouble = self._trouble(tank.name, ago)
            if taken > stage.actor.now or (skipped if trouble is None else trouble.text("kind") == "gap"):
                continue
            cold = trouble.number("degrees") if trouble else None
            yield Shown(tank.id, taken, round(self._usual(tank, taken) + noise if cold is None else cold, 1))

    def _usual(self, tank: Tank, taken: datetime) -> float:
        wave = cos(2 * pi * (taken.timetuple().tm_yday - WARMEST) / 365)
        return (tank.set_point_c or 25.0) + SUMMER_C * max(wave, -0.2)

    def _trouble(self, tank: str, ago: int) -> Row | None:
        found = (one for one in self._troubles if one.text("tank") == tank)
        return next((one for one in found if one.ago >= ago >= one.whole("until")), None)


def _row(stage: Stage, one: Shown) -> Reading:
    """Return a row as a logger's file would bring it, with no act of its own: thousands would take long."""
    return Reading(
        fishroom_id=stage.actor.fishroom_id,
        tank_id=one.tank_id,
        taken_at=one.taken_at,
        value=one.temperature_c,
    )
