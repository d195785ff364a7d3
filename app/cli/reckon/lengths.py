"""Fields about young fish: a total length, and length checks; births are reckoned without them."""

from datetime import date
from typing import Any

from app.cli.reckon.fields import Field, date_field, nullable, number_field, optional, whole_field
from app.cli.reckon.shapes import list_of, object_of
from app.core.growth import LengthCheck

LONGEST_MM = 1_000.0


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
