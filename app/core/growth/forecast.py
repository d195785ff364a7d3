"""The growth forecast: the curve with its band, dates of lengths, and behind, on or ahead."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from app.core.growth import words
from app.core.growth.clock import Clock, clock
from app.core.growth.curves import Model
from app.core.growth.evidence import GrowthEvidence, LengthCheck, Sex, tidy
from app.core.growth.mode import Mode, find_mode, loosened, seen
from app.core.growth.posterior import Posterior, expected_lengths, measured, unmeasured
from app.core.growth.priors import Prior, brood_prior
from app.core.why import Why
from app.core.windows import Window

Array = NDArray[np.float64]
Standing = Literal["behind", "on", "ahead"]

AHEAD_DAYS = 182
"""How far past today the curve is drawn: half a year."""

ENOUGH_CHECKS, ENOUGH_DAYS = 5, 42
"""Checks on so many days, over so long a time, before the data may choose the curve (judgement)."""

GOMPERTZ_ODDS = np.log(5.0)
"""Log odds by which Gompertz must be the likelier curve before it is taken (judgement)."""

OUTER = 20.0
"""Percentiles below this are behind, and above 100 less this ahead (judgement)."""


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """The batch's mean total length on one day, with the central 80 %."""

    day: date
    median_mm: float
    p10_mm: float
    p90_mm: float


@dataclass(frozen=True, slots=True)
class TargetDate:
    """When the batch's mean length reaches a target; None where it may never."""

    length_mm: float
    median: date | None
    window: Window | None


@dataclass(frozen=True, slots=True)
class GrowthParameters:
    """One sex's fitted curve: length at birth, final length, and rate per day at 25 °C."""

    sex: Sex
    l0_mm: float
    linf_mm: float
    k_per_day: float


@dataclass(frozen=True, slots=True)
class GrowthForecast:
    """How long the batch's fish are, were and will be (mean total length).

    ``percentile`` says what share of such broods would be shorter by now. ``posterior`` carries the
    whole distribution to the sexing and readiness forecasts and, later, to the line's next broods.
    """

    curve: tuple[CurvePoint, ...]
    targets: tuple[TargetDate, ...]
    standing: Standing | None
    percentile: float | None
    parameters: tuple[GrowthParameters, ...]
    fish_cv: float
    model: Model
    confidence: str
    notes: tuple[str, ...]
    why: Why
    posterior: Posterior = field(repr=False, compare=False)


def fit_growth(evidence: GrowthEvidence) -> GrowthForecast:
    """Fit a batch's growth and forecast its lengths.

    Parameters
    ----------
    evidence : GrowthEvidence
        Species, birth, water and length checks.

    Raises
    ------
    Problem
        When a date or a length can't be true.
    """
    known = tidy(evidence)
    time = clock(evidence.born, evidence.temperature)
    expected = _prior(evidence, Model.VON_BERTALANFFY)
    fitted = _chosen(evidence, known.checks, time, expected)
    percentile = _percentile(fitted, expected, time, known.checks)
    standing = _standing(percentile)
    targets = _targets(fitted, evidence.targets_mm)
    return GrowthForecast(
        curve=_curve(fitted, evidence),
        targets=targets,
        standing=standing,
        percentile=percentile,
        parameters=_parameters(fitted),
        fish_cv=fitted.fish_cv,
        model=fitted.model,
        confidence=words.confidence(evidence, known),
        notes=words.notes(evidence, known, fitted, standing, _open(targets)),
        why=words.why(evidence, known, fitted),
        posterior=fitted,
    )


def _prior(evidence: GrowthEvidence, model: Model) -> Prior:
    kin = [fit.summary for fit in evidence.kin if fit.summary]
    return brood_prior(evidence.species, evidence.sex, model, evidence.born_uncertainty_days, kin)


def _chosen(evidence: GrowthEvidence, checks: Sequence[LengthCheck], time: Clock, prior: Prior) -> Posterior:
    """Fit the usual curve, and where the checks carry it Gompertz too; take the one they prefer."""
    if not checks:
        return unmeasured(prior, time)
    data = seen(prior, checks, time)
    plain = find_mode(prior, data)
    if not may_choose(checks) or plain.rss < 2 * GOMPERTZ_ODDS:  # so little to explain: no curve wins by it
        return _spread(plain, time)
    other = find_mode(_prior(evidence, Model.GOMPERTZ), data)
    return _spread(other if other.log_evidence - plain.log_evidence > GOMPERTZ_ODDS else plain, time)


def _spread(mode: Mode, time: Clock) -> Posterior:
    looser = loosened(mode)
    return measured(find_mode(mode.prior, looser) if looser else mode, time)


def may_choose(checks: Sequence[LengthCheck]) -> bool:
    """Say whether there are checks enough, far enough apart, to tell two curves from each other."""
    return len(checks) >= ENOUGH_CHECKS and (checks[-1].day - checks[0].day).days >= ENOUGH_DAYS


def _curve(fitted: Posterior, evidence: GrowthEvidence) -> tuple[CurvePoint, ...]:
    last = (evidence.today - evidence.born).days + AHEAD_DAYS
    days = np.arange(0, last + 7, 7, dtype=float)
    rows = fitted.quantiles(days, (0.1, 0.5, 0.9))
    return tuple(
        CurvePoint(evidence.born + timedelta(days=day), mid, low, high)
        for day, low, mid, high in zip(days.tolist(), *rows.tolist(), strict=True)
    )


def _open(targets: Sequence[TargetDate]) -> tuple[float, ...]:
    return tuple(t.length_mm for t in targets if t.window is None)


def _targets(fitted: Posterior, lengths_mm: Sequence[float]) -> tuple[TargetDate, ...]:
    levels = (0.1, 0.5, 0.9)
    return tuple(_target(fitted.clock, mm, *fitted.dates_to(mm, levels).tolist()) for mm in lengths_mm)


def _target(time: Clock, length_mm: float, low: float, mid: float, high: float) -> TargetDate:
    last = len(time.ages)
    if mid > last:
        return TargetDate(length_mm, None, None)
    median = time.date_after(mid)
    if high > last:
        return TargetDate(length_mm, median, None)
    return TargetDate(length_mm, median, Window(time.date_after(low), time.date_after(high), 0.8))


def _percentile(
    fitted: Posterior, expected: Prior, time: Clock, checks: Sequence[LengthCheck]
) -> float | None:
    """Share of such broods shorter at the last check than this one, averaged over what it may be."""
    if not checks:
        return None
    day = np.array([(checks[-1].day - time.born).days], dtype=float)
    log_usual = np.log(expected_lengths(expected, float(time.at(day[0]))))
    centre, spread = float(log_usual.mean()), float(log_usual.std())
    own = np.log(fitted.lengths(day)[:, 0])
    return float(100 * fitted.weights @ ndtr((own - centre) / spread))


def _standing(percentile: float | None) -> Standing | None:
    if percentile is None:
        return None
    if percentile < OUTER:
        return "behind"
    return "ahead" if percentile > 100 - OUTER else "on"


def _parameters(fitted: Posterior) -> tuple[GrowthParameters, ...]:
    found = []
    for part in fitted.prior.parts:
        l0, linf, k = np.exp(part.logs + fitted.mode)
        found.append(GrowthParameters(part.sex, float(l0), float(linf), float(k)))
    return tuple(found)
