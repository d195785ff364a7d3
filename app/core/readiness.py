"""When a batch is ready to be rehomed: long enough, old enough, and sexed."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from app.core.day_distribution import DayDistribution, latest
from app.core.growth import GrowthForecast
from app.core.growth.posterior import Posterior
from app.core.method import Method
from app.core.problems import Problem
from app.core.sexing import SexingForecast
from app.core.species import Species
from app.core.why import Used, Why
from app.core.windows import Window
from app.core.wording import day_words

Array = NDArray[np.float64]

ENOUGH = 0.9
"""The share of a batch that must be long enough, and told apart."""

SMALL_FISH_MM = 27.0
SMALL_DAYS, LARGE_DAYS = 56, 70
"""Least ages: 8 weeks for small fish such as guppies and platies, 10 for larger (common practice)."""

METHOD = Method(
    key="readiness",
    title="Ready to rehome",
    words=(
        (
            "A batch is ready when nine in ten of its fish have the sale length, it is older than the least "
            "age, and nine in ten can be told male or female. The latest of the three counts."
        ),
    ),
    formulas=(
        "long enough: share of fish with L · exp(CV · z) at or over the sale length reaches 0.9",
        "P(ready by day) = P(long enough by day) · P(told by day), from the least age on",
    ),
    sources=("sale lengths and least ages: common practice", "growth and sexing as in their own methods"),
)


@dataclass(frozen=True, slots=True)
class ReadyEvidence:
    """What readiness rests on; None takes the species' sale length and the usual least age.

    ``sexed`` says that the batch has been told apart already; ``born_uncertainty_days`` is one standard
    deviation of a birth day that had to be guessed.
    """

    species: Species
    born: date
    today: date
    growth: GrowthForecast
    sexing: SexingForecast | None = None
    sale_length_mm: float | None = None
    minimum_age_days: int | None = None
    sexed: bool = False
    born_uncertainty_days: float = 0.0


@dataclass(frozen=True, slots=True)
class ReadyForecast:
    """When the batch is ready; None where it may never be."""

    median: date | None
    window_80: Window | None
    fraction_ready_today: float
    when: DayDistribution
    notes: tuple[str, ...]
    why: Why


def usual_minimum_age(sale_length_mm: float) -> int:
    """Return the least age in days at which fish of a sale length usually leave."""
    return SMALL_DAYS if sale_length_mm <= SMALL_FISH_MM else LARGE_DAYS


def forecast_ready(evidence: ReadyEvidence) -> ReadyForecast:
    """Forecast when at least nine tenths of a batch can be rehomed.

    Raises
    ------
    Problem
        When the sale length or the least age is not possible.
    """
    sale = _positive(evidence.sale_length_mm, evidence.species.sale_length_mm, "sale_length_mm", "mm")
    least = int(
        _positive(evidence.minimum_age_days, usual_minimum_age(sale), "minimum_age_days", "days", zero=True)
    )
    told = None if evidence.sexed else evidence.sexing
    long = _long_enough(evidence.growth.posterior, sale)
    when = latest([long, *([told.told] if told else []), _old_enough(evidence, least)])
    return ReadyForecast(
        median=when.quantile(0.5),
        window_80=when.window(),
        fraction_ready_today=_ready_today(evidence, sale, least, told),
        when=when,
        notes=_notes(evidence, sale, least, when),
        why=_why(evidence, sale, least, told),
    )


def _positive(given: float | None, usual: float, field: str, unit: str, *, zero: bool = False) -> float:
    if given is None:
        return usual
    if not (given > 0 or (zero and given == 0)) or given == float("inf"):
        raise Problem(f"{given:g} {unit} can't be; {usual:g} {unit} is usual", field)
    return given


def _share_long(fit: Posterior, sale_mm: float) -> Array:
    """Share of the batch's fish at or over a length, for each curve on each day of the grid."""
    parts = [share * ndtr(np.log(length / sale_mm) / fit.fish_cv) for share, length in fit.by_sex()]
    return np.asarray(sum(parts))


def _long_enough(fit: Posterior, sale_mm: float) -> DayDistribution:
    return DayDistribution.from_cdf(fit.clock.born, fit.chance_long(sale_mm, ENOUGH))


def _old_enough(evidence: ReadyEvidence, least: int) -> DayDistribution:
    """Return when the least age is reached: one day, or spread where the birth day is a guess."""
    day, unsure = evidence.born + timedelta(days=least), evidence.born_uncertainty_days
    if not unsure > 0:
        return DayDistribution.sure(day)
    reach = int(np.ceil(4 * unsure))
    return DayDistribution.from_cdf(day - timedelta(days=reach), ndtr(np.arange(-reach, reach + 1) / unsure))


def _ready_today(evidence: ReadyEvidence, sale: float, least: int, told: SexingForecast | None) -> float:
    age = (evidence.today - evidence.born).days
    if age < least:
        return 0.0
    fit = evidence.growth.posterior
    share = float(np.interp(age, fit.days, fit.weights @ _share_long(fit, sale)))
    return share * (told.fraction_sexable_today if told else 1.0)


def _notes(evidence: ReadyEvidence, sale: float, least: int, when: DayDistribution) -> tuple[str, ...]:
    notes = []
    if when.never > 0.5:
        notes.append(
            f"Nine in ten of this batch will most likely never reach {sale:g} mm; set a shorter sale length, "
            "or rehome the sexes apart."
        )
    elif when.never > 0.1:
        notes.append(f"There is some chance that nine in ten never reach {sale:g} mm, so the end is open.")
    old_enough = evidence.born + timedelta(days=least)
    if when.quantile(0.5) == old_enough:
        notes.append(f"Age decides: {least} days old on {day_words(old_enough, evidence.today)}.")
    return tuple(notes)


def _why(evidence: ReadyEvidence, sale: float, least: int, told: SexingForecast | None) -> Why:
    growth = evidence.growth.why
    sexed = (
        Used("told apart", f"nine in ten by {day_words(told.comfortable)}")
        if told
        else Used("told apart", "done")
    )
    return Why(
        method="readiness",
        used=(Used("sale length", f"{sale:g} mm"), Used("least age", f"{least} days"), sexed, *growth.used),
        prior=growth.prior,
        source=growth.source,
        confidence=evidence.growth.confidence,
        narrower=growth.narrower,
    )
