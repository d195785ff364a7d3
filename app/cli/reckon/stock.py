"""Fields that every forecast needs: the species, and the temperature of the tank."""

from datetime import date
from functools import lru_cache
from typing import Any

from app.cli.reckon.fields import HOTTEST_C, Field, choice, date_field, described, either
from app.cli.reckon.measures import celsius_field
from app.cli.reckon.shapes import list_of, object_of
from app.core.problems import Problem
from app.core.species import SPECIES, Species, species
from app.core.thermal import TemperatureLog

NUMBERS = (float, int)
_day = lru_cache(maxsize=4096)(date_field().read)  # logs repeat the same dates


def species_field() -> Field[Species]:
    """Declare a species by its key."""
    key = choice(*SPECIES)
    return Field(key.schema, lambda value: species(key.read(value)))


def temperature_field() -> Field[TemperatureLog]:
    """Declare a tank's temperature: one number, or dated readings."""
    reading = object_of({"date": date_field(), "c": celsius_field()})
    given = either(celsius_field(), list_of(reading, at_least=1))
    words = "°C: a number, or a list of readings; 25 unless given"
    before: list[tuple[list[Any], TemperatureLog]] = []

    def read(value: object) -> TemperatureLog:
        if not isinstance(value, list):
            return _log(given.read(value))
        if before and before[0][0] == value:
            return before[0][1]
        quick = _plain_readings(value)
        log = TemperatureLog.of(quick) if quick else _log(given.read(value))
        if min(c for _, c in log.readings) > 1:  # true equals 1, and is no temperature
            before[:] = [(value, log)]  # fish of one tank mostly come one after another, with the same log
        return log

    return described(Field(given.schema, read), words)


def _log(given: float | list[dict[str, Any]]) -> TemperatureLog:
    if isinstance(given, list):
        return TemperatureLog.of(tuple((one["date"], one["c"]) for one in given))
    return TemperatureLog.constant(given)


def _plain_readings(value: list[Any]) -> tuple[tuple[date, float], ...] | None:
    """Read a list that is plainly right, as nearly all are; None leaves it to the strict reader.

    Logs are long: this takes half of the time.
    """
    found, read_day = [], _day
    try:
        for one in value:
            day, c = one["date"], one["c"]
            if len(one) != 2 or type(c) not in NUMBERS or not 0 <= c <= HOTTEST_C:
                return None
            found.append((read_day(day), float(c)))
    except (Problem, TypeError, KeyError):
        return None
    return tuple(found)
