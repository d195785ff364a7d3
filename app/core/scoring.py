"""How good past forecasts were: proper scores, coverage, and skill against a rule of thumb."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from math import exp, lgamma, log, pi, sqrt

import numpy as np
from scipy.special import ndtr

from app.core.method import Method
from app.core.problems import Problem
from app.core.stats.distributions import LogNormal, Normal, Table
from app.core.windows import Window

METHOD = Method(
    key="scoring",
    title="How good the forecasts were",
    words=(
        "Every forecast is kept as first shown, and scored once the drop has come.",
        "CRPS is the average miss in days that also rewards a narrow window; smaller is better.",
        "Coverage says how often the window held the drop; 80 % windows should hold about 80 %.",
        "Skill compares with the rule of thumb, a fixed number of days: 0 is as good, 1 is perfect.",
    ),
    formulas=(
        "CRPS(F, y) = ∫ (F(x) − 1{x ≥ y})² dx",
        "normal: σ (z (2Φ(z) − 1) + 2φ(z) − 1/√π)",
        "coverage test: exact binomial; Kupiec LR = −2 ln(L(nominal) / L(observed))",
        "skill = 1 − score / score of the rule",
    ),
    sources=(
        "Gneiting & Raftery (2007), J. Am. Stat. Assoc. 102:359",
        "Baran & Lerch (2015), Q. J. R. Meteorol. Soc. 141:2289",
        "Kupiec (1995), J. Derivatives 3:73",
        "Koenker & Bassett (1978), Econometrica 46:33",
        "Dawid (1984), J. R. Stat. Soc. A 147:278",
    ),
)

Forecast = Normal | LogNormal | Table


def crps(forecast: Forecast, outcome: float) -> float:
    """Continuous ranked probability score, in the outcome's unit; 0 is perfect.

    CRPS(F, y) = ∫ (F(x) - 1{x >= y})² dx, closed for normal and log-normal, exact for a table.

    References
    ----------
    Gneiting & Raftery (2007), JASA 102:359, eq. 21; Baran & Lerch (2015), QJRMS 141:2289.
    """
    if isinstance(forecast, Normal):
        return _crps_normal(forecast, outcome)
    if isinstance(forecast, LogNormal):
        return _crps_lognormal(forecast, outcome)
    return _crps_table(forecast, outcome)


def _crps_normal(f: Normal, y: float) -> float:
    z = (y - f.mean) / f.sd
    density = exp(-z * z / 2) / sqrt(2 * pi)
    return f.sd * (z * (2 * float(ndtr(z)) - 1) + 2 * density - 1 / sqrt(pi))


def _crps_lognormal(f: LogNormal, y: float) -> float:
    apart = f.mean * (2 * float(ndtr(f.sigma / sqrt(2))) - 1)  # E|X - X'| / 2
    if y <= 0:
        return f.mean - y - apart
    z = (log(y) - f.mu) / f.sigma
    near = y * (2 * float(ndtr(z)) - 1) + f.mean * (1 - 2 * float(ndtr(z - f.sigma)))
    return near - apart


def _crps_table(f: Table, y: float) -> float:
    """Integrate piece by piece; constant pieces for a staircase, straight ones otherwise."""
    outside = max(float(f.x[0]) - y, 0.0) + max(y - float(f.x[-1]), 0.0)
    inside = bool(f.x[0] < y < f.x[-1])
    x = np.union1d(f.x, [y]) if inside else f.x
    left = f.cdfs(x[:-1])
    right = left if f.whole else np.array([*left[1:], f.p[-1]])
    passed = x[:-1] >= y
    a, b = left - passed, right - passed
    return outside + float(np.sum(np.diff(x) * (a * a + a * b + b * b) / 3))


def interval_score(low: float, high: float, alpha: float, outcome: float) -> float:
    """Width plus 2/alpha for each unit by which the outcome lies outside.

    References
    ----------
    Gneiting & Raftery (2007), JASA 102:359, eq. 43.
    """
    return high - low + 2 / alpha * (max(low - outcome, 0.0) + max(outcome - high, 0.0))


def pinball(level: float, quantile: float, outcome: float) -> float:
    """Quantile loss: level * miss when the outcome is above, (1 - level) * miss below.

    References
    ----------
    Koenker & Bassett (1978), Econometrica 46:33.
    """
    miss = outcome - quantile
    return max(level * miss, (level - 1) * miss)


def log_score(forecast: Normal, outcome: float) -> float:
    """Minus the log density at the outcome (Gneiting & Raftery 2007)."""
    return -forecast.log_density(outcome)


def pit(forecast: Forecast, outcome: float) -> float:
    """Where the outcome fell in the forecast: F(y); the middle of the step for whole numbers.

    References
    ----------
    Dawid (1984), J. R. Stat. Soc. A 147:278.
    """
    if isinstance(forecast, Table):
        return (forecast.below(outcome) + forecast.cdf(outcome)) / 2
    return forecast.cdf(outcome)


def central(forecast: Forecast, level: float) -> tuple[float, float]:
    """Return the ends of the central interval that holds the outcome with that probability."""
    tail = (1 - level) / 2
    return forecast.quantile(tail), forecast.quantile(1 - tail)


def skill(score: float, reference: float) -> float:
    """1 - score / reference: 0 is no better than the reference, 1 is perfect."""
    if reference <= 0:
        raise Problem("the reference has no error to compare with", "reference")
    return 1 - score / reference


@dataclass(frozen=True, slots=True)
class Coverage:
    """How often windows held the outcome, and whether that fits their level."""

    hits: int
    rate: float
    p_value: float
    kupiec: float


def coverage(hits: int, n: int, nominal: float) -> Coverage:
    """Test a hit rate against its nominal level.

    Exact two-sided binomial p (outcomes no likelier than the one seen), and Kupiec's likelihood
    ratio, about χ² with one degree of freedom.

    References
    ----------
    Kupiec (1995), J. Derivatives 3:73.
    """
    if not 0 <= hits <= n or n == 0:
        raise Problem(f"{hits} hits of {n}; give 0 to n hits of at least one forecast", "hits")
    rate = hits / n
    likely = [_binomial(k, n, nominal) for k in range(n + 1)]
    p_value = sum(p for p in likely if p <= likely[hits] * (1 + 1e-7))
    return Coverage(hits, rate, min(p_value, 1.0), 2 * (_loglik(hits, n, rate) - _loglik(hits, n, nominal)))


def _loglik(hits: int, n: int, p: float) -> float:
    return (hits * log(p) if hits else 0.0) + ((n - hits) * log(1 - p) if n > hits else 0.0)


def _binomial(k: int, n: int, p: float) -> float:
    return exp(lgamma(n + 1) - lgamma(k + 1) - lgamma(n - k + 1) + _loglik(k, n, p))


@dataclass(frozen=True)
class Shown:
    """A dated forecast as first shown, the rule of thumb's date, and the day it happened.

    Its scores are reckoned once, in however many sets it is counted.
    """

    cdf: tuple[tuple[date, float], ...]
    window_80: Window
    window_95: Window
    median: date
    naive: date
    outcome: date

    @cached_property
    def table(self) -> Table:
        """The chances by day, as ordinals."""
        return Table([day.toordinal() for day, _ in self.cdf], [p for _, p in self.cdf])

    @cached_property
    def crps(self) -> float:
        """In days."""
        return crps(self.table, self.outcome.toordinal())

    @cached_property
    def pit(self) -> float:
        """Where the outcome fell in the forecast, from 0 to 1."""
        return pit(self.table, self.outcome.toordinal())


@dataclass(frozen=True, slots=True)
class Hindcast:
    """How a set of forecasts did; days throughout."""

    n: int
    mean_crps: float
    mean_error: float
    naive_error: float
    skill: float | None
    coverage_80: Coverage
    coverage_95: Coverage
    mean_width_80: float
    pit: tuple[float, ...]


def hindcast(shown: Sequence[Shown]) -> Hindcast:
    """Score dated forecasts against what happened, and against the rule of thumb.

    The skill compares the mean CRPS with the rule's mean absolute error, which is its CRPS.

    Raises
    ------
    Problem
        When there is nothing to score.
    """
    if not shown:
        raise Problem("no forecast has an outcome yet; log drops and come back", "shown")
    n = len(shown)
    mean_crps = sum(one.crps for one in shown) / n
    naive = sum(abs((one.naive - one.outcome).days) for one in shown) / n
    return Hindcast(
        n=n,
        mean_crps=mean_crps,
        mean_error=sum(abs((one.median - one.outcome).days) for one in shown) / n,
        naive_error=naive,
        skill=skill(mean_crps, naive) if naive else None,
        coverage_80=coverage(sum(one.window_80.holds(one.outcome) for one in shown), n, 0.8),
        coverage_95=coverage(sum(one.window_95.holds(one.outcome) for one in shown), n, 0.95),
        mean_width_80=sum(one.window_80.days for one in shown) / n,
        pit=tuple(one.pit for one in shown),
    )
