"""Bringing a whole tank with its fish to another water by changes, no faster than allowed."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from app.core.method import Method
from app.core.problems import Problem
from app.core.water.acclimation import Limits, WaterState

MOST_SHARE = 0.5
"""More than half of the water at once upsets fish and filter (judgement)."""
LONGEST_DAYS = 120
NEAR = {"salinity_g_per_l": 0.1, "gh_dh": 1.0}
"""As near to the new water as that it is reached (judgement)."""

METHOD = Method(
    "acclimation_changes",
    "A whole tank to another water",
    (
        "Where fish stay in their tank, its water is led over by one change a day.",
        "Each day's share is the largest at which neither salt nor hardness moves further than its limit.",
        "Never more than half of the water at once, for the fish and the filter.",
        "What is not known of either water is left out; the heater keeps the temperature.",
    ),
    (
        "f = min(½, limit / |s − c|) for the quantity that is furthest off",
        "c' = c + (s − c)·f",
        "done when salt is within 0.1 g/L and GH within 1 °dH of the water poured",
    ),
    (
        "mass balance of a well-mixed tank",
        "limits a day, one half at most and how near is near: common practice, no source",
    ),
    "Fish that lie down, gasp or clamp their fins need a slower plan: smaller limits, days between.",
)


@dataclass(frozen=True, slots=True)
class ChangeStep:
    """One day's change: the share of the water, and what the tank holds after it."""

    day: date
    share: float
    water: WaterState


def by_changes(now: WaterState, source: WaterState, limits: Limits, start: date) -> tuple[ChangeStep, ...]:
    """Plan daily changes with a source water until salinity and hardness are as good as the source's.

    A change of share f brings a level c to ``c + (s − c)·f``; each day's f is the largest at which
    no level moves by more than its limit, and at most one half: ``f = min(½, limit / |s − c|)``.
    What is not known of either water is left out; the temperature is the heater's, not the water's.

    Parameters
    ----------
    now, source : WaterState
        Grams per litre and °dH; at least one known of both.
    limits : Limits
        Largest change in one day, above 0.
    start : date
        Day of the first change.

    Raises
    ------
    Problem
        If nothing can be compared, or it would take more than four months.

    References
    ----------
    Mass balance of a well mixed tank.
    """
    known = [name for name in NEAR if getattr(now, name) is not None and getattr(source, name) is not None]
    if not known:
        raise Problem(
            "nothing is known of both waters; give their salt or GH, and that of the water poured",
            "salinity_g_per_l",
        )
    for name in known:
        if not getattr(limits, name) > 0:
            raise Problem("a limit of 0 a day never arrives; give one above 0", f"limit_{name}")
    steps = []
    for step in _steps({name: float(getattr(now, name)) for name in known}, source, limits, start):
        steps.append(step)
        if len(steps) > LONGEST_DAYS:
            raise Problem(f"more than {LONGEST_DAYS} days is no plan; give larger limits", "limit_gh_dh")
    return tuple(steps)


def _steps(levels: dict[str, float], source: WaterState, limits: Limits, start: date) -> Iterator[ChangeStep]:
    goal = {name: float(getattr(source, name)) for name in levels}
    day = start
    while any(abs(goal[name] - level) > NEAR[name] for name, level in levels.items()):
        shares = [
            getattr(limits, name) / abs(goal[name] - level)
            for name, level in levels.items()
            if goal[name] != level
        ]
        share = min(MOST_SHARE, *shares)
        levels = {name: level + (goal[name] - level) * share for name, level in levels.items()}
        yield ChangeStep(day, share, WaterState(levels.get("salinity_g_per_l"), levels.get("gh_dh")))
        day += timedelta(days=1)
