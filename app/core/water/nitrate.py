"""How fast nitrate builds up, when it reaches a ceiling, and the smallest weekly change that holds it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from math import sqrt

import numpy as np

from app.core.method import Method
from app.core.problems import Problem
from app.core.water.units import NO3_PER_N
from app.core.windows import Window

NITROGEN_IN_PROTEIN = 0.16  # one gram in 6.25, the convention behind every label's "crude protein"
RETAINED = 0.3  # share of fed nitrogen kept in the fish; judgement
FEED_PRIOR_CV = 0.5  # feed, retention and plants are known this badly; judgement
KIT_CV, KIT_FLOOR = 0.15, 2.5  # a colour kit's error: share of the reading, and mg/L; judgement
HORIZON_DAYS = 730
CEILING_MG_PER_L = 20.0  # common practice, no source
TENTH = 1.2815515655446004  # a standard normal lies above this with a chance of one in ten

METHOD = Method(
    "nitrate",
    "Nitrate and the weekly change",
    (
        "Nearly all nitrogen that is fed and not kept by the fish ends as nitrate, until water is changed.",
        "Feed gives a first guess; readings, with a colour kit's error, refine it.",
        "The ceiling's date is reckoned without further changes, except those already entered.",
    ),
    (
        "dC/dt = P/V between changes; C' = C·(1 − f) + C_src·f at each",
        "prior: P = feed·protein·0.16·(1 − retained)·4.427, known to ±50 %",
        "weekly change: f = 7·(P/V) / (ceiling − C_src)",
        "first change: f = (C + 7·P/V − ceiling) / (C − C_src)",
    ),
    ("mass balance; nitrogen is 16 % of protein by convention", "kit error and retention: judgement"),
    "Plants take up nitrate; then production reads low, which is right for the plan.",
)


@dataclass(frozen=True, slots=True)
class Reading:
    """Nitrate as the ion (NO3) on a day, before any change of that day."""

    day: date
    mg_per_l: float


@dataclass(frozen=True, slots=True)
class Change:
    """A share of the water replaced on a day."""

    day: date
    fraction: float
    source_mg_per_l: float = 0.0


@dataclass(frozen=True, slots=True)
class Production:
    """Nitrate made per day in mg, with its standard deviation."""

    mg_per_day: float
    sd: float


@dataclass(frozen=True, slots=True)
class Outlook:
    """What the readings say: production, today's level, and when the ceiling is reached.

    ``reaches`` and ``median`` are None when it is not reached within two years, or cannot be
    told; the window's end is two years ahead when only that is open.
    """

    production: Production | None
    today_mg_per_l: float
    today_sd: float
    median: date | None
    reaches: Window | None


@dataclass(frozen=True, slots=True)
class _Fit:
    """Start level and daily rise with their covariance."""

    mean: np.ndarray
    covariance: np.ndarray
    rise_known: bool


def from_feed(feed_g_per_day: float, protein_fraction: float, retained: float = RETAINED) -> Production:
    """Nitrate from feeding, mg per day, ``feed·protein·0.16·(1 − retained)·4.427·1000``.

    Parameters
    ----------
    feed_g_per_day : float
        Dry feed, 0 up.
    protein_fraction : float
        From the label, 0 to 1.
    retained : float
        Share of the nitrogen kept by the fish, 0 to 1.

    Raises
    ------
    Problem
        If a value is outside its range.

    References
    ----------
    Mass balance; protein is 16 % nitrogen by convention.
    """
    if not feed_g_per_day >= 0:
        raise Problem(f"{feed_g_per_day:g} g is below zero; give grams of feed a day", "feed_g_per_day")
    for share, field in ((protein_fraction, "protein_fraction"), (retained, "retained")):
        if not 0 <= share <= 1:
            percent = f"; {share:g} %? Then give {share / 100:g}" if 1 < share <= 100 else ""
            raise Problem(f"{share:g} is not a share; give 0 to 1{percent}", field)
    made = feed_g_per_day * protein_fraction * NITROGEN_IN_PROTEIN * (1 - retained) * NO3_PER_N * 1000.0
    return Production(made, FEED_PRIOR_CV * made)


def outlook(
    litres: float,
    readings: Sequence[Reading],
    changes: Iterable[Change],
    today: date,
    ceiling_mg_per_l: float = CEILING_MG_PER_L,
    prior: Production | None = None,
) -> Outlook:
    """Fit production to the readings, and project to the ceiling.

    Level and daily rise are fitted by least squares with the kit's error, on the level the
    changes leave of the start and of the rise (both linear), with the feed's figure as a normal
    prior on the rise where it is given. The chance of standing above the ceiling on each day
    ahead gives the window (10 %, 50 %, 90 %).

    Parameters
    ----------
    litres : float
        Above 0.
    readings : Sequence[Reading]
        At least one, in any order, no two on a day, none after today.
    changes : Iterable[Change]
        Past, and planned ones after today.
    today : date
        The day the outlook is made.
    ceiling_mg_per_l : float
        Above 0.
    prior : Production, optional
        From feeding.

    Raises
    ------
    Problem
        If there is no reading, one lies after today, a day is read twice or a value is impossible.
    """
    ordered = _checked(readings, today, ceiling_mg_per_l)
    ordered_changes = sorted(changes, key=lambda change: change.day)
    start = ordered[0].day
    fit = _fit(ordered, ordered_changes, _litres(litres), prior)
    now, now_sd = _level(fit, *_response(start, today, ordered_changes))
    if not fit.rise_known:
        return Outlook(None, max(0.0, now), now_sd, None, None)
    production = Production(float(fit.mean[1]) * litres, float(sqrt(fit.covariance[1, 1])) * litres)
    median, window = _ceiling_days(fit, start, today, ordered_changes, ceiling_mg_per_l)
    return Outlook(production, max(0.0, now), now_sd, median, window)


def _response(start: date, day: date, changes: Sequence[Change]) -> tuple[float, float, float]:
    """Return what is left of the start, days of rise left, and what sources brought, by ``day``.

    A change of ``day`` itself comes after its reading.
    """
    left, risen, brought, at = 1.0, 0.0, 0.0, start
    for change in changes:
        if not start <= change.day < day:
            continue
        risen += (change.day - at).days
        keep = 1.0 - change.fraction
        left, risen = left * keep, risen * keep
        brought = brought * keep + change.source_mg_per_l * change.fraction
        at = change.day
    return left, risen + (day - at).days, brought


def _fit(
    readings: Sequence[Reading], changes: Sequence[Change], litres: float, prior: Production | None
) -> _Fit:
    rows = [_response(readings[0].day, reading.day, changes) for reading in readings]
    design = np.array([[left, risen] for left, risen, _ in rows])
    seen = np.array([reading.mg_per_l - row[2] for reading, row in zip(readings, rows, strict=True)])
    sd = np.array([KIT_FLOOR + KIT_CV * reading.mg_per_l for reading in readings])
    precision = (design / sd[:, None] ** 2).T @ design
    pull = (design / sd[:, None] ** 2).T @ seen
    known = bool(np.linalg.matrix_rank(precision) == 2)
    if prior is not None:
        weight = 1.0 / (max(prior.sd, 1e-3) / litres) ** 2
        precision[1, 1] += weight
        pull[1] += weight * prior.mg_per_day / litres
        known = True
    covariance = np.linalg.pinv(precision, hermitian=True)
    return _Fit(covariance @ pull, covariance, known)


def _level(fit: _Fit, left: float, risen: float, brought: float) -> tuple[float, float]:
    weights = np.array([left, risen])
    return float(weights @ fit.mean) + brought, sqrt(max(0.0, float(weights @ fit.covariance @ weights)))


def _ceiling_days(
    fit: _Fit, start: date, today: date, changes: Sequence[Change], ceiling: float
) -> tuple[date | None, Window | None]:
    days = [today + timedelta(days=ahead) for ahead in range(HORIZON_DAYS + 1)]
    rows = np.array([_response(start, day, changes) for day in days])
    weights = rows[:, :2]
    level = weights @ fit.mean + rows[:, 2]
    sd = np.sqrt(np.maximum(1e-18, ((weights @ fit.covariance) * weights).sum(axis=1)))
    standing = (
        level - ceiling + 1e-9
    ) / sd  # above the ceiling with the chance that a normal lies below this
    crossed = [_first(days, standing >= bound) for bound in (-TENTH, 0.0, TENTH)]
    if crossed[0] is None or crossed[1] is None:
        return None, None
    return crossed[1], Window(crossed[0], crossed[2] or days[-1], 0.8)


def _first(days: Sequence[date], holds: np.ndarray) -> date | None:
    return days[int(holds.argmax())] if holds.any() else None


def _checked(readings: Sequence[Reading], today: date, ceiling: float) -> list[Reading]:
    if not readings:
        raise Problem("no reading; give at least one", "readings")
    if not ceiling > 0:
        raise Problem(f"{ceiling:g} mg/L cannot be a ceiling; give more than 0", "ceiling_mg_per_l")
    ordered = sorted(readings, key=lambda reading: reading.day)
    for one, following in pairwise(ordered):
        if one.day == following.day:
            raise Problem(f"two readings on {one.day}; give one a day", "readings")
    if ordered[-1].day > today:
        raise Problem(
            f"the reading of {ordered[-1].day} lies after today, {today}; check the dates", "readings"
        )
    lowest = min(ordered, key=lambda reading: reading.mg_per_l)
    if not lowest.mg_per_l >= 0:
        raise Problem(f"{lowest.mg_per_l:g} mg/L is below zero; give 0 or more", "readings")
    return ordered


def _litres(litres: float) -> float:
    if not litres > 0:
        raise Problem(f"{litres:g} L is no tank; give litres above 0", "litres")
    return litres
