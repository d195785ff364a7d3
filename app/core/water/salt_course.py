"""Dated steps of a salt course: doses that build it up, and changes that bring it down again."""

from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from app.core.problems import Problem
from app.core.water.mixing import after_changes, changes_needed
from app.core.water.salt import dose_to

PLAIN_G_PER_L = 0.1
"""As good as no salt: less than most tap water holds in all its minerals (judgement)."""
STEADY = 1e-9  # so that 2.4 in steps of 1.2 is two steps, whatever the rounding


@dataclass(frozen=True, slots=True)
class DoseStep:
    """Grams to add on a day, and the strength they make."""

    day: date
    grams: float
    g_per_l: float


@dataclass(frozen=True, slots=True)
class ChangeStep:
    """A share to replace on a day, and the strength it leaves."""

    day: date
    fraction: float
    g_per_l: float


def build_up(
    litres: float, now: float, target: float, most_per_day: float, start: date
) -> tuple[DoseStep, ...]:
    """Equal daily doses up to a target, none raising the strength by more than allowed in a day.

    Parameters
    ----------
    litres : float
        Above 0.
    now, target, most_per_day : float
        g/L; the largest rise in a day above 0.
    start : date
        Day of the first dose.

    Raises
    ------
    Problem
        If an amount is impossible.
    """
    if not most_per_day > 0:
        raise Problem(f"{most_per_day:g} g/L a day never arrives; give more than 0", "most_per_day")
    grams = dose_to(target, now, litres)
    days = ceil(grams / litres / most_per_day - STEADY)
    return tuple(
        DoseStep(start + timedelta(days=k - 1), grams / days, now + grams / litres * k / days)
        for k in range(1, days + 1)
    )


def ramp_down(
    now: float, target: float, fraction: float, start: date, every_days: int = 1, source: float = 0.0
) -> tuple[ChangeStep, ...]:
    """Equal changes with fresher water until the strength is at or below the target.

    Parameters
    ----------
    now, target, source : float
        g/L in the tank, at the end, and in the new water.
    fraction : float
        Replaced each time, above 0.
    start : date
        Day of the first change.
    every_days : int
        Days from one change to the next, at least 1.

    Raises
    ------
    Problem
        If the target cannot be reached, or a value is impossible.
    """
    if every_days < 1:
        raise Problem(f"{every_days} days cannot be; give 1 or more", "every_days")
    needed = changes_needed(now, source, fraction, target)
    levels = after_changes(now, source, [fraction] * needed)
    return tuple(
        ChangeStep(start + timedelta(days=k * every_days), fraction, level) for k, level in enumerate(levels)
    )
