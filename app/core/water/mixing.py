"""How concentrations move with water changes, blends and flow: mass in, mass out, nothing lost."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, exp, log

from app.core.method import Method
from app.core.problems import Problem

MOST_CHANGES = 100_000

METHOD = Method(
    "mixing",
    "Water changes, blends and flow",
    (
        "A change takes out its share of everything dissolved and brings in what the new water holds.",
        "Water added for evaporation takes nothing out: what is dissolved stays.",
        "The same volume let through slowly removes less than one big change.",
    ),
    (
        "c' = c·(1 − f) + c_src·f",
        "c_n = c_src + (c₀ − c_src)·(1 − f)ⁿ",
        "through-flow: share replaced = 1 − exp(−V/V₀)",
        "steady weekly cycle: peak = c_src + r·T/f, trough = peak − r·T",
    ),
    ("mass balance of a well-mixed tank",),
    "pH never blends in proportion; measure it.",
)


@dataclass(frozen=True, slots=True)
class Cycle:
    """The lasting ups and downs of a steady routine: just before and just after a change."""

    peak: float
    trough: float


@dataclass(frozen=True, slots=True)
class Part:
    """Some water and what one litre of it holds."""

    litres: float
    value: float


def after_change(now: float, source: float, fraction: float) -> float:
    """Concentration after one change, ``c(1−f) + c_src·f``.

    Parameters
    ----------
    now, source : float
        In the tank and in the new water, any one unit.
    fraction : float
        Share of the water replaced, 0 to 1.

    Raises
    ------
    Problem
        If the fraction is outside 0 to 1 or a concentration is below zero.
    """
    _check_fraction(fraction)
    _check_level(now, "start")
    _check_level(source, "source")
    return now * (1.0 - fraction) + source * fraction


def after_changes(start: float, source: float, fractions: Iterable[float]) -> tuple[float, ...]:
    """Concentration after each of several changes, in order.

    Parameters
    ----------
    start, source : float
        In the tank and in the new water, any one unit.
    fractions : Iterable[float]
        Share replaced at each change.

    Raises
    ------
    Problem
        As for :func:`after_change`.
    """
    levels = []
    for fraction in fractions:
        start = after_change(start, source, fraction)
        levels.append(start)
    return tuple(levels)


def changes_needed(start: float, source: float, fraction: float, target: float) -> int:
    """Smallest number of equal changes that reaches the target, ``⌈ln ratio / ln(1−f)⌉``.

    Parameters
    ----------
    start, source, target : float
        Any one unit; the target must lie between start and source.
    fraction : float
        Share replaced at each change, above 0.

    Raises
    ------
    Problem
        If no number of changes reaches the target.
    """
    after_change(start, source, fraction)
    _check_reachable(start, source, target)
    if target == start:
        return 0
    if fraction == 1.0:
        return 1
    left = (target - source) / (start - source)
    if fraction == 0.0 or left == 0.0:
        raise Problem(
            f"{target:g} is never quite reached with changes of {100 * fraction:g} %; "
            "give a target nearer the start",
            "target",
        )
    wanted = log(left) / log(1.0 - fraction)
    return _at_most_many(ceil(wanted - 1e-9))


def fraction_needed(start: float, source: float, target: float) -> float:
    """Share to replace in one change to reach the target, ``(c₀ − c_t) / (c₀ − c_src)``.

    Parameters
    ----------
    start, source, target : float
        Any one unit; the target must lie between start and source.

    Raises
    ------
    Problem
        If one change cannot reach the target.
    """
    _check_reachable(start, source, target)
    return 0.0 if target == start else (start - target) / (start - source)


def replaced_by_flow(volumes: float) -> float:
    """Share of the water replaced by well-mixed through-flow, ``1 − exp(−V/V₀)``.

    Parameters
    ----------
    volumes : float
        Water let through over the tank's volume, 0 up.

    Raises
    ------
    Problem
        If it is below zero.
    """
    _check_level(volumes, "volumes")
    return 1.0 - exp(-volumes)


def steady_cycle(rate: float, days: float, fraction: float, source: float = 0.0) -> Cycle:
    """Lasting peak and trough when something builds up at a steady rate between equal changes.

    Parameters
    ----------
    rate : float
        Rise per day, in the unit of ``source``.
    days : float
        Between changes.
    fraction : float
        Share replaced at each change, above 0.
    source : float
        In the new water.

    Raises
    ------
    Problem
        If nothing is ever changed, or a value is below zero.
    """
    _check_fraction(fraction)
    _check_level(rate, "rate")
    if fraction == 0.0:
        raise Problem("without changes there is no steady state; give a fraction above 0", "fraction")
    peak = source + rate * days / fraction
    return Cycle(peak, peak - rate * days)


def cycles_to(share: float, fraction: float) -> int:
    """Count the cycles until the peak has reached ``share`` of its lasting height, from nothing.

    Parameters
    ----------
    share : float
        Such as 0.95, above 0 and below 1.
    fraction : float
        Share replaced at each change, above 0 and below 1.

    Raises
    ------
    Problem
        If either is outside its range.
    """
    if not 0.0 < share < 1.0:
        raise Problem(f"{share:g} cannot be; give a share above 0 and below 1", "share")
    return changes_needed(1.0, 0.0, fraction, 1.0 - share)


def steady_flow(source: float, rate: float, litres: float, litres_per_day: float) -> float:
    """Lasting concentration under steady through-flow, ``c_src + r·V₀/Q``.

    Parameters
    ----------
    source, rate : float
        In the new water, and rise per day without flow.
    litres, litres_per_day : float
        Tank and flow, above 0.

    Raises
    ------
    Problem
        If there is no tank or no flow.
    """
    for value, field in ((litres, "litres"), (litres_per_day, "litres_per_day")):
        if value <= 0:
            raise Problem(f"{value:g} cannot be; give litres above 0", field)
    return source + rate * litres / litres_per_day


def blended(parts: Sequence[Part]) -> float:
    """Concentration of waters poured together, ``Σ V·c / Σ V``; never for pH.

    Parameters
    ----------
    parts : Sequence[Part]
        At least one, with litres above 0 in total.

    Raises
    ------
    Problem
        If there is no water, or a volume is below zero.
    """
    for part in parts:
        _check_level(part.litres, "litres")
    total = sum(part.litres for part in parts)
    if total <= 0:
        raise Problem("no water to blend; give litres above 0", "litres")
    return sum(part.litres * part.value for part in parts) / total


def _check_fraction(fraction: float) -> None:
    if not 0.0 <= fraction <= 1.0:
        percent = f"; {fraction:g} %? Then give {fraction / 100:g}" if 1 < fraction <= 100 else ""
        raise Problem(f"{fraction:g} is not a share of the water; give 0 to 1{percent}", "fraction")


def _check_level(level: float, field: str) -> None:
    if not level >= 0:
        raise Problem(f"{level:g} is below zero; give 0 or more", field)


def _check_reachable(start: float, source: float, target: float) -> None:
    if not min(start, source) <= target <= max(start, source):
        raise Problem(
            f"{target:g} cannot be reached from {start:g} with water of {source:g}; "
            f"give {min(start, source):g} to {max(start, source):g}",
            "target",
        )


def _at_most_many(number: int) -> int:
    if number > MOST_CHANGES:
        raise Problem(f"it would take {number} changes; give a larger fraction", "fraction")
    return number
