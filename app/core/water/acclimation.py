"""Dated steps that bring fish from the water they were raised in to the tank's, no faster than allowed."""

from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from app.core.method import Method
from app.core.problems import Problem

LONGEST_DAYS = 365

METHOD = Method(
    "acclimation",
    "From their water to yours",
    (
        "Farmed stock has often been raised in brackish water and fails in soft, fresh water days later.",
        "The slowest of salinity, hardness and temperature sets the number of days; all move together.",
        "Each step replaces a share of their water with the tank's water; the last one is the move.",
    ),
    (
        "days = max ⌈|to − from| / limit⌉",
        "value on step k = from + (to − from)·k/days",
        "share replaced on step k = 1 / (days − k + 1)",
    ),
    ("mass balance; the default limits are common practice, no source",),
    "Fish that lie down, gasp or clamp their fins need the step undone, and a slower plan.",
)


@dataclass(frozen=True, slots=True)
class WaterState:
    """What a water is like; None where it is not known."""

    salinity_g_per_l: float | None = None
    gh_dh: float | None = None
    temperature_c: float | None = None


@dataclass(frozen=True, slots=True)
class Limits:
    """Largest change in one day; the defaults are common practice, no source."""

    salinity_g_per_l: float = 1.5
    gh_dh: float = 3.0
    temperature_c: float = 2.0


@dataclass(frozen=True, slots=True)
class Step:
    """One day's aim, and the share of the water to replace with the tank's to get there."""

    day: date
    water: WaterState
    share: float


FIELDS = ("salinity_g_per_l", "gh_dh", "temperature_c")


def plan(origin: WaterState, tank: WaterState, limits: Limits, start: date) -> tuple[Step, ...]:
    """Plan the steps from the origin's water to the tank's, one a day from ``start``.

    Nothing changes by more than its limit from one day to the next; what is not known of either
    water is left out. No steps when the waters are alike.

    Parameters
    ----------
    origin, tank : WaterState
        Grams per litre, °dH and °C; at least one value known of both.
    limits : Limits
        Largest change in one day, each above 0.
    start : date
        Day of the first step.

    Raises
    ------
    Problem
        If nothing can be compared, a value is impossible, or it would take more than a year.
    """
    changes = [_change(name, origin, tank, limits) for name in FIELDS]
    if all(change is None for change in changes):
        raise Problem("no value is known of both waters; give salinity, GH or temperature of each", "from")
    days = max((ceil(abs(by) / limit - 1e-9) for by, limit in filter(None, changes)), default=0)
    if days > LONGEST_DAYS:
        raise Problem(f"{days} days is no plan; give larger limits", "limits_per_day")
    return tuple(
        Step(start + timedelta(days=k - 1), _between(origin, tank, k / days), 1.0 / (days - k + 1))
        for k in range(1, days + 1)
    )


def _change(name: str, origin: WaterState, tank: WaterState, limits: Limits) -> tuple[float, float] | None:
    limit = getattr(limits, name)
    if not limit > 0:
        raise Problem(f"{limit:g} a day never arrives; give a limit above 0", f"limits_per_day.{name}")
    values = [getattr(origin, name), getattr(tank, name)]
    for where, value in zip(("from", "to"), values, strict=True):
        _check(name, f"{where}.{name}", value)
    return None if None in values else (values[1] - values[0], limit)


def _check(name: str, field: str, value: float | None) -> None:
    if value is None:
        return
    if name == "temperature_c" and not 0 <= value <= 45:
        fahrenheit = " (°F?)" if value > 45 else ""
        raise Problem(f"{value:g} °C{fahrenheit} cannot be; give 0 to 45", field)
    if not value >= 0:
        raise Problem(f"{value:g} is below zero; give 0 or more", field)


def _between(origin: WaterState, tank: WaterState, share: float) -> WaterState:
    values = {}
    for name in FIELDS:
        low, high = getattr(origin, name), getattr(tank, name)
        values[name] = None if low is None or high is None else low + (high - low) * share
    return WaterState(**values)
