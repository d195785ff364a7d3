"""How many of a batch live on: the survival curve so far and the numbers to come."""

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray
from scipy.special import betaln, gammaln

from app.core.batches import Event, Kind, ledger
from app.core.method import Method
from app.core.problems import Problem
from app.core.wording import day_words

Array = NDArray[np.float64]

PRIOR_DAYS, PRIOR_DEATHS = 150.0, 0.75
"""A Beta prior on surviving one day: half a per cent lost a day, worth 150 fish-days (judgement)."""

CLUMPING = 3.0
"""Deaths in a tank come together, so so many fish-days count as one (judgement)."""

FADING_DAYS = 28.0
"""Half-life of old losses: fry die young, so last week says more than last month (judgement)."""

METHOD = Method(
    key="survival",
    title="Survival of a batch",
    words=(
        (
            "The curve steps down at each loss by the share of the fish then at risk; fish rehomed or moved "
            "leave the count without counting as deaths. A loss that a count shows falls on that count's day."
        ),
        (
            "The forecast puts a daily chance of survival, learnt from the batch with recent weeks weighing "
            "most, on the fish alive now."
        ),
    ),
    formulas=(
        "Kaplan–Meier: S(t) = product of (1 − d/n); Greenwood: SE = S · √(sum of d / (n (n − d)))",
        "daily survival s ~ Beta(149.25 + fish-days/3, 0.75 + deaths/3), old days fading by half in 28",
        "alive after h days ~ Beta-binomial matched to the mean and variance of s^h",
    ),
    sources=(
        "Kaplan & Meier (1958), J. Am. Stat. Assoc. 53:457",
        "Greenwood (1926), Reports on Public Health 33",
        "prior, fading and clumping: judgement",
    ),
)


@dataclass(frozen=True, slots=True)
class SurvivalStep:
    """The curve just after one time: at risk before it, deaths at it, share alive and standard error."""

    time: float
    at_risk: int
    deaths: int
    alive: float
    se: float


@dataclass(frozen=True, slots=True)
class SurvivalPoint:
    """Share of the batch alive on a day, with its standard error."""

    day: date
    alive: float
    se: float


@dataclass(frozen=True, slots=True)
class NumbersForecast:
    """How many of the fish alive now will be alive on a day."""

    day: date
    median: int
    p10: int
    p90: int


@dataclass(frozen=True, slots=True)
class Survival:
    """A batch's survival curve, the day by which half had died (if they had), and the forecast."""

    curve: tuple[SurvivalPoint, ...]
    half_dead_on: date | None
    alive: int
    forecast: NumbersForecast


def kaplan_meier(times: Sequence[float], died: Sequence[bool]) -> tuple[SurvivalStep, ...]:
    """Kaplan–Meier estimate with Greenwood's standard error; a death comes before a removal of its time.

    Raises
    ------
    Problem
        When there is nobody to follow, or a time is negative.
    """
    if not times:
        raise Problem("no fish to follow; give at least one", "times")
    if len(times) != len(died) or min(times) < 0:
        raise Problem("each fish needs a time of 0 or more and whether it died", "times")
    when, dead = np.asarray(times, dtype=float), np.asarray(died, dtype=bool)
    rows = [(t, int((when >= t).sum()), int((dead & (when == t)).sum())) for t in np.unique(when[dead])]
    return steps(rows)


def steps(rows: Iterable[tuple[float, int, int]]) -> tuple[SurvivalStep, ...]:
    """Build the curve from (time, number at risk, deaths) in order of time."""
    alive, greenwood, found = 1.0, 0.0, []
    for time, at_risk, deaths in rows:
        alive *= 1 - deaths / at_risk
        greenwood += deaths / (at_risk * (at_risk - deaths)) if deaths < at_risk else 0.0
        found.append(SurvivalStep(float(time), at_risk, deaths, alive, alive * greenwood**0.5))
    return tuple(found)


def median_time(curve: Sequence[SurvivalStep]) -> float | None:
    """Return the first time at which half or fewer are alive, or None."""
    return next((step.time for step in curve if step.alive <= 0.5 + 1e-12), None)


def survival(events: Sequence[Event], until: date) -> Survival:
    """Survival curve of a batch's book, and how many will be alive on ``until``.

    Parameters
    ----------
    events : sequence of Event
        The batch's book, as for :func:`app.core.batches.ledger`.
    until : date
        The day to forecast; not before the last entry.
    """
    book = ledger(events)
    if not book.history:
        raise Problem("no counts yet; log how many fish the batch started with", "counts")
    first, (last, alive) = book.history[0][0], book.history[-1]
    if until < last:
        raise Problem(f"until {until} lies before the last count on {last}; give that day or later", "until")
    days = _days(events)
    curve = steps([((d.day - first).days, d.at_risk, d.deaths) for d in days if d.deaths])
    half = median_time(curve)
    return Survival(
        curve=(SurvivalPoint(first, 1.0, 0.0), *(_point(first, step) for step in curve)),
        half_dead_on=None if half is None else first + timedelta(days=int(half)),
        alive=alive,
        forecast=_forecast(days, last, alive, until),
    )


def _point(first: date, step: SurvivalStep) -> SurvivalPoint:
    return SurvivalPoint(first + timedelta(days=int(step.time)), step.alive, step.se)


@dataclass(frozen=True, slots=True)
class _Day:
    """One day of a batch's book: at risk before its losses, losses, and alive at its end."""

    day: date
    at_risk: int
    deaths: int
    alive: int


def _days(events: Sequence[Event]) -> list[_Day]:
    """Add up each day: deaths first, then removals; fish found again were at risk all along."""
    found: list[_Day] = []
    ordered = sorted(events, key=lambda e: (e.day, e.order))
    lost = alive = 0
    for day in sorted({e.day for e in ordered}):
        book = ledger([e for e in ordered if e.day <= day])
        started = sum(e.n for e in ordered if e.day == day and e.kind is Kind.START)
        deaths = max(0, book.lost - lost)
        found.append(_Day(day, max(alive + started, deaths), deaths, book.alive))
        lost, alive = book.lost, book.alive
    return found


def _forecast(days: Sequence[_Day], last: date, alive: int, until: date) -> NumbersForecast:
    ahead = (until - last).days
    if not ahead or not alive:
        return NumbersForecast(until, alive, alive, alive)
    survived, died = _weighed(days, last)
    cdf = np.cumsum(np.exp(_log_mass(alive, *_matched(survived, died, ahead))))
    low, mid, high = (int(np.searchsorted(cdf, q - 1e-9)) for q in (0.1, 0.5, 0.9))
    return NumbersForecast(until, min(mid, alive), min(low, alive), min(high, alive))


def _weighed(days: Sequence[_Day], last: date) -> tuple[float, float]:
    """Beta parameters of one day's survival, recent days weighing most."""
    lived, died = PRIOR_DAYS - PRIOR_DEATHS, PRIOR_DEATHS
    rate = np.log(2) / FADING_DAYS
    for before, after in itertools.pairwise(days):
        ages = np.arange((last - after.day).days, (last - before.day).days)
        weight = np.exp(-rate * ages)
        lived += float(weight.sum()) * (before.alive - after.deaths / 2) / CLUMPING
        died += float(weight.mean()) * after.deaths / CLUMPING
    return lived, died


def _matched(lived: float, died: float, ahead: int) -> tuple[float, float]:
    """Beta with the mean and variance of a daily survival to the power of the days ahead."""
    one = float(np.exp(betaln(lived + ahead, died) - betaln(lived, died)))
    two = float(np.exp(betaln(lived + 2 * ahead, died) - betaln(lived, died)))
    size = max((one - two) / max(two - one * one, 1e-15), 1e-6)
    return one * size, (1 - one) * size


def _log_mass(n: int, a: float, b: float) -> Array:
    """Log of the Beta-binomial probability of 0 to ``n``."""
    k = np.arange(n + 1)
    choose = gammaln(n + 1) - gammaln(k + 1) - gammaln(n - k + 1)
    return np.asarray(choose + betaln(k + a, n - k + b) - betaln(a, b))


def book_from_counts(
    counts: Sequence[tuple[date, int]], removed: Sequence[tuple[date, int]] = ()
) -> tuple[Event, ...]:
    """Turn dated counts and removals into a batch's book; a removal comes before its day's count.

    Raises
    ------
    Problem
        When there is no count, two of one day, or nobody in the first.
    """
    if not counts:
        raise Problem("no counts; give at least one", "counts")
    ordered = sorted(counts, key=lambda entry: entry[0])
    for (day, one), (later, other) in itertools.pairwise(ordered):
        if day == later:
            raise Problem(f"two counts on {day_words(day)}, {one} and {other}; keep one a day", "counts")
    (first, n), *rest = ordered
    if not n:
        raise Problem(
            f"no fish alive on {day_words(first)}, the first count; begin with one or more", "counts"
        )
    return (
        Event(Kind.START, first, n, 0),
        *(Event(Kind.REHOMED, day, k, 1) for day, k in removed),
        *(Event(Kind.COUNT, day, k, 2) for day, k in rest),
    )
