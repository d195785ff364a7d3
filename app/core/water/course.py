"""A course in a tank: doses by day, what a change took of them, and what puts it back."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import isfinite

from app.core.method import Method
from app.core.problems import Problem
from app.core.water.acclimation import Limits
from app.core.water.ledger import Account, Changed, Event

MOST_STEPS = 30
LONGEST_PAUSE = 30
"""Days between doses; a course that waits longer is two courses (judgement)."""
STRONGEST_G_PER_L = 10.0
"""Beyond this salt is a bath of hours, not a course of days (Francis-Floyd 1995, UF/IFAS VM 86)."""
GENTLE_G_PER_L = Limits().salinity_g_per_l
SLIGHT = 0.03
"""A level this share below the aim is as good as reached: kitchen scales and tank marks (judgement)."""

METHOD = Method(
    "course",
    "A course, dose by dose",
    (
        "Each dose is the difference between the aim and what the ledger says the tank holds at that moment.",
        "A change takes its share of what is dissolved; the same amount brings the tank back to its aim.",
        "Other substances are dosed by the figure on their label, by the litre, on the days you give.",
        "To plain water: equal changes until what is left is at or below the aim.",
    ),
    ("m = (c_aim − c_now)·V", "taken = (c_before − c_after)·V", "n = ⌈ln(c_aim/c_now) / ln(1 − f)⌉"),
    ("mass balance of a well-mixed tank; the ledger's own method",),
    "The tool names no illness and no remedy. Label, law and vet decide what goes into the water.",
)


@dataclass(frozen=True, slots=True)
class Dosing:
    """One dose of a course: its day, its amount (g, mL or pieces), and the level it makes."""

    day: date
    amount: float
    level: float
    rise: float


@dataclass(frozen=True, slots=True)
class Taken:
    """What changes took since a moment: litres replaced, and the amount that went with them."""

    litres: float
    amount: float
    last: datetime


def raised(
    litres: float, now: float, levels: Sequence[float], start: date, every_days: int
) -> tuple[Dosing, ...]:
    """Doses that raise a tank from level to level, ``m = (c_aim − c)·V`` each.

    Parameters
    ----------
    litres : float
        Above 0.
    now : float
        Level before the first dose, per litre.
    levels : Sequence[float]
        Aims per litre, each above the one before.
    start : date
        Day of the first dose.
    every_days : int
        Days from one dose to the next, 1 to 30.

    Raises
    ------
    Problem
        If a level does not rise, or a value is outside its range.
    """
    _check(litres, len(levels), every_days)
    found: list[Dosing] = []
    for k, level in enumerate(levels):
        if not (isfinite(level) and level > now):
            there = f"what the tank holds, {now:.3g}" if k == 0 else f"the {now:g} before it"
            raise Problem(
                f"{level:g} per litre is not above {there}; give rising levels, like 1.5, 3", "levels"
            )
        day = start + timedelta(days=k * every_days)
        found.append(Dosing(day, (level - now) * litres, level, level - now))
        now = level
    return tuple(found)


def repeated(
    litres: float, now: float, per_litre: float, start: date, every_days: int, times: int
) -> tuple[Dosing, ...]:
    """Equal doses by the litre, as a label tells; levels add up as long as nothing takes them out.

    Parameters
    ----------
    litres, per_litre : float
        Above 0.
    now : float
        Level before the first dose, per litre.
    start : date
        Day of the first dose.
    every_days, times : int
        1 to 30 each.

    Raises
    ------
    Problem
        If a value is outside its range.
    """
    _check(litres, times, every_days)
    if not (isfinite(per_litre) and per_litre > 0):
        raise Problem("give the label's dose by the litre, more than 0", "per_litre")
    return tuple(
        Dosing(
            start + timedelta(days=k * every_days), per_litre * litres, now + per_litre * (k + 1), per_litre
        )
        for k in range(times)
    )


def taken(account: Account, events: Sequence[Event], litres: float, since: datetime) -> Taken | None:
    """Sum of what changes after a moment carried out of a tank, ``Σ (c_before − c_after)·V``.

    Parameters
    ----------
    account : Account
        The quantity's account; its points stand beside ``events`` one by one.
    events : Sequence[Event]
        Everything done to the tank, in the ledger's order.
    litres : float
        Of the tank.
    since : datetime
        Only later changes count.

    Returns
    -------
    Taken or None
        None when nothing was changed since, or a level is not known.
    """
    replaced, amount = 0.0, 0.0
    last: datetime | None = None
    for event, point in zip(events, account.points, strict=True):
        if not isinstance(event, Changed) or event.at <= since:
            continue
        if point.before is None or point.after is None:
            return None
        replaced, last = replaced + event.litres, event.at
        amount += (point.before - point.after) * litres
    return Taken(replaced, amount, last) if last is not None and amount > 0 else None


def missing(level: float, now: float, litres: float) -> float:
    """Amount that brings a tank back to its aim; 0 where no more than a slight difference is left.

    Parameters
    ----------
    level, now : float
        Aim and present level, per litre.
    litres : float
        Of the tank.
    """
    return (level - now) * litres if now < level * (1.0 - SLIGHT) else 0.0


def steep(dosings: Sequence[Dosing]) -> bool:
    """Say whether a dose raises salt by more than fish are spared in one day (common practice).

    Parameters
    ----------
    dosings : Sequence[Dosing]
        In g/L.
    """
    return any(one.rise > GENTLE_G_PER_L * (1 + 1e-9) for one in dosings)


def _check(litres: float, number: int, every_days: int) -> None:
    if not litres > 0:
        raise Problem(f"{litres:g} L is no tank; give litres above 0", "litres")
    if not 1 <= number <= MOST_STEPS:
        raise Problem(f"a course has 1 to {MOST_STEPS} doses", "times")
    if not 1 <= every_days <= LONGEST_PAUSE:
        raise Problem(f"{every_days} days between doses; give 1 to {LONGEST_PAUSE}", "every_days")
