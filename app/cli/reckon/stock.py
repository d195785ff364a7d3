"""Fields of the subjects about young fish: species, temperature, length checks."""

from datetime import date
from typing import Any

from app.cli.reckon.fields import (
    HOTTEST_C,
    Field,
    choice,
    date_field,
    described,
    either,
    nullable,
    number_field,
    optional,
    whole_field,
)
from app.cli.reckon.measures import celsius_field
from app.cli.reckon.shapes import list_of, object_of
from app.core.growth import LengthCheck
from app.core.problems import Problem
from app.core.species import SPECIES, Species, species
from app.core.thermal import TemperatureLog

LONGEST_MM = 1_000.0
DATE, READING, NUMBERS = date_field(), {"date", "c"}, (float, int)


def species_field() -> Field[Species]:
    """Declare a species by its key."""
    key = choice(*SPECIES)
    return Field(key.schema, lambda value: species(key.read(value)))


def temperature_field() -> Field[TemperatureLog]:
    """Declare a tank's temperature: one number, or dated readings."""
    reading = object_of({"date": date_field(), "c": celsius_field()})
    given = either(celsius_field(), list_of(reading, at_least=1))
    words = "°C: a number, or a list of readings; 25 unless given"

    def read(value: object) -> TemperatureLog:
        quick = _plain_readings(value) if isinstance(value, list) else None
        return TemperatureLog.of(quick) if quick else _log(given.read(value))

    return described(Field(given.schema, read), words)


def _log(given: float | list[dict[str, Any]]) -> TemperatureLog:
    if isinstance(given, list):
        return TemperatureLog.of(tuple((one["date"], one["c"]) for one in given))
    return TemperatureLog.constant(given)


def _plain_readings(value: list[Any]) -> tuple[tuple[date, float], ...] | None:
    """Read a list that is plainly right, as nearly all are; None leaves it to the strict reader.

    Logs are long: this takes half of the time.
    """
    found = []
    for one in value:
        if type(one) is not dict or one.keys() != READING:
            return None
        c = one["c"]
        if type(c) not in NUMBERS or not 0 <= c <= HOTTEST_C:
            return None
        try:
            found.append((DATE.read(one["date"]), float(c)))
        except Problem:
            return None
    return tuple(found)


def length_mm() -> Field[float]:
    """Declare a total length."""
    return number_field(above=0, maximum=LONGEST_MM, unit="mm, total length")


def checks_field() -> Field[list[LengthCheck]]:
    """Declare length checks, as single lengths or summed up."""
    keys: dict[str, Field[Any]] = {
        "date": date_field(),
        "lengths_mm": optional(list_of(length_mm(), at_least=1)),
        "n": optional(whole_field(1, 100_000)),
        "mean_mm": optional(length_mm()),
        "sd_mm": optional(nullable(number_field(0, LONGEST_MM, "mm"))),
    }
    needs = {"n": "mean_mm", "mean_mm": "n", "sd_mm": "mean_mm"}
    return list_of(object_of(keys, _check, one_of=(("lengths_mm", "mean_mm"),), needs=needs))


def _check(
    date: date, lengths_mm: list[float] | None, n: int | None, mean_mm: float | None, sd_mm: float | None
) -> LengthCheck:
    if lengths_mm:
        return LengthCheck(date, tuple(lengths_mm))
    return LengthCheck.summed(date, n or 0, mean_mm or 0.0, sd_mm)
