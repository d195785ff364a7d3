"""How fry are cared for by age: feeds a day, water changes, days in a fry box, room for each fish."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import inf

from app.core.method import Method

FRY_UNTIL_DAYS = 120
"""From then on young fish are kept like grown ones (judgement)."""
BOX_DAYS = 14
"""A fry box is small; two weeks in it are enough (common practice, no source)."""
SMALL_AT_BIRTH_MM = 7.0
SMALL_STAY_DAYS = 7
"""Fry smaller than that at birth keep the many feeds of the first stage a week longer (judgement)."""
ROOM = ((12.0, 0.5), (20.0, 1.0), (30.0, 2.0), (45.0, 3.0), (inf, 5.0))
"""Litres for each fish up to a length in mm: two fry to a litre at first, then one (common practice)."""

METHOD = Method(
    "fry_care",
    "Feeding, changes and room for fry",
    (
        "The youngest fry of a tank set its routine: many small feeds and changes at first, fewer later.",
        "The smallest kinds keep the first stage a week longer. Your own stages go before the usual ones.",
        "A change counts from the last one logged; where none ever was, each stage is told once.",
        "A tank is tight when its fish, by their lengths, are usually given more water than it holds.",
        "Nitrate asks for a change before it reaches its ceiling, 20 mg/L unless you set another.",
    ),
    (
        "next change = last change + the stage's days",
        "litres wanted = Σ litres for a fish of its length, over all fish of the tank",
    ),
    ("every number here: common practice, no source; set your own under Fry care",),
    "Food that is left fouls the water faster than fry grow. Take it out, and feed less next time.",
)


@dataclass(frozen=True, slots=True)
class Care:
    """From an age on: feeds a day, and the share of the water changed every so many days."""

    from_age_days: int
    feeds_a_day: int
    change_every_days: int
    change_fraction: float


USUAL = (Care(0, 5, 2, 0.1), Care(14, 4, 3, 0.2), Care(28, 3, 7, 0.3), Care(60, 2, 7, 0.3))
"""Small feeds several times a day, small changes several times a week, then weekly (common practice)."""


def usual(birth_tl_mm: float) -> tuple[Care, ...]:
    """Return the usual stages of a species by its length at birth in mm; the smallest begin slower."""
    if birth_tl_mm >= SMALL_AT_BIRTH_MM:
        return USUAL
    later = (
        Care(one.from_age_days + SMALL_STAY_DAYS, one.feeds_a_day, one.change_every_days, one.change_fraction)
        for one in USUAL[1:]
    )
    return (USUAL[0], *later)


def merged(*tables: Iterable[Care]) -> tuple[Care, ...]:
    """Lay tables over one another, the later over the earlier, stage by stage; by age."""
    stages = {one.from_age_days: one for table in tables for one in table}
    return tuple(stages[age] for age in sorted(stages))


def care_at(table: Iterable[Care], age_days: int) -> Care | None:
    """Return the stage that holds at an age; None before the first."""
    begun = [one for one in table if one.from_age_days <= age_days]
    return max(begun, key=lambda one: one.from_age_days, default=None)


def litres_wanted(length_mm: float) -> float:
    """Return the litres one fish of a length (mm, total) is given room for."""
    return next(litres for longest, litres in ROOM if length_mm <= longest)
