"""Short ways to state birth evidence in tests."""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from app.core.births import BirthEvidence, DamHistory, LastDrop, OwnInterval
from app.core.species import species
from app.core.thermal import TemperatureLog

MAY = date(2026, 5, 1)


def day(number: float) -> date:
    """Return the day that many days after the first of May."""
    return MAY + timedelta(number)


def intervals(*days: float, at: float | None = None) -> DamHistory:
    """Return a dam's exactly known intervals."""
    return tuple(OwnInterval(d, d, at) for d in days)


def dropped(today: int = 0, key: str = "guppy", at: float | None = 25.0, **more: Any) -> BirthEvidence:  # noqa: ANN401
    """Return the evidence on a dam that dropped on the first of May."""
    tank = None if at is None else TemperatureLog.constant(at)
    told: dict[str, Any] = {"start": LastDrop(MAY, MAY), "temperature": tank} | more
    return BirthEvidence(species(key), day(today), **told)


def logged(celsius: Sequence[float], set_point: float = 25.0, first: int = 0) -> TemperatureLog:
    """Return a log with one reading a day."""
    return TemperatureLog(tuple((day(first + i), c) for i, c in enumerate(celsius)), set_point)
