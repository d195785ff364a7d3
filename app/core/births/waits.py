"""How the wait for a drop is spread, in thermal days from its start."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from app.core.births.evidence import Arrived, BirthEvidence, Exposed
from app.core.births.learning import SKIP, Learned
from app.core.normal import below
from app.core.thermal import Days, warmth

_CYCLES = np.array([[1.0], [2.0], [3.0]])
_CHANCES = np.array([1 - SKIP, SKIP * (1 - SKIP), SKIP * SKIP])
_MEAN_CYCLES = float(_CHANCES @ _CYCLES[:, 0])
_SQRT_2PI = 2.5066282746310002

Cdf = Callable[[Days], Days]


@dataclass(frozen=True, slots=True)
class Wait:
    """The distribution function of the wait over a row of thermal days."""

    cdf: Cdf


def interval(mean: float, sd: float) -> Wait:
    """Return the wait from one drop to the next.

    F(x) = sum over k = 1, 2, 3 cycles of p_k Φ((x / k - m) / s), p = 0.98, 0.0196, 0.0004:
    a skipped cycle doubles the interval.

    References
    ----------
    Reznick et al. (2004), Nature 431:1095, individual records: long gaps are near twice the median.
    """

    def cdf(x: Days) -> Days:
        return np.asarray(_CHANCES @ below((x / _CYCLES - mean) / sd))

    return Wait(cdf)


def first_brood(mean: float, sd: float) -> Wait:
    """Return the wait from a virgin's first exposure to her first drop: N(mean, sd²)."""

    def cdf(x: Days) -> Days:
        return np.asarray(below((x - mean) / sd))

    return Wait(cdf)


def phase_unknown(mean: float, sd: float) -> Wait:
    """Return the wait from a day that fell anywhere in a running interval.

    Forward recurrence: density (1 - F(x)) / E[X], so with ψ(z) = z Φ(z) + φ(z) each component gives
    G(x) = (x - s (ψ((x - m) / s) - ψ(-m / s))) / (m + s ψ(-m / s)).

    References
    ----------
    Cox, Renewal Theory (1962), section 5.2, from memory.
    """
    start = float(_psi(np.array(-mean / sd)))
    whole = (mean + sd * start) * _MEAN_CYCLES

    def cdf(x: Days) -> Days:
        part = _CHANCES @ (_CYCLES * (x / _CYCLES - sd * (_psi((x / _CYCLES - mean) / sd) - start)))
        return np.asarray(np.where(x > 0, part / whole, 0.0))

    return Wait(cdf)


def either(one: Wait, other: Wait) -> Wait:
    """Return an even mixture of two waits."""
    return Wait(lambda x: (one.cdf(x) + other.cdf(x)) / 2)


def wait(told: BirthEvidence, learned: Learned, temperature_c: float, doubt: float = 0.0) -> Wait:
    """Return the wait that fits how it began: a drop, an exposure, or a purchase.

    ``doubt`` is the variance (thermal days squared) that the tank's coming temperatures add.
    """
    level, variance = learned.at(temperature_c)
    sd = (variance + learned.noise + doubt) ** 0.5
    if isinstance(told.start, Arrived):
        return phase_unknown(level, sd)
    if isinstance(told.start, Exposed) and told.species.stores_sperm:
        first = _first(told, learned, temperature_c, doubt)
        return first if told.virgin else either(phase_unknown(level, sd), first)
    return interval(level, sd)


def _first(told: BirthEvidence, learned: Learned, temperature_c: float, doubt: float) -> Wait:
    sp = told.species
    mean = sp.first_brood_days + learned.belief.a - sp.interval_days
    q10 = (mean * warmth(temperature_c)) ** 2 * learned.belief.var_b
    return first_brood(mean, (sp.first_brood_sd**2 + q10 + doubt) ** 0.5)


def _psi(z: Days) -> Days:
    return np.asarray(z * below(z) + np.exp(-z * z / 2) / _SQRT_2PI)
