"""How a batch's growth clock runs fast or slow by spells: food, company and water never stay the same."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

PACE_SD = 0.4
"""Spread of the pace about 1 over a spell. A judgement: with it the five published cohorts that the tests
hold (59 checks) fall into the bands shown before them about eight times in ten."""

SPELL_DAYS = 30.0
"""How long a fast or slow spell lasts, in thermal days: a month (the same judgement; 20 to 45 do as well)."""


def clock_covariance(a: Array, b: Array) -> Array:
    """Covariance (days²) of how far the clock is ahead at thermal ages ``a`` (rows) and ``b`` (columns).

    The pace is 1 + v, with v an Ornstein-Uhlenbeck process of standard deviation s = PACE_SD and memory
    τ = SPELL_DAYS; being ahead is its sum since birth. For ages a and b

        cov = s² τ² (2 min(a, b)/τ + exp(-a/τ) + exp(-b/τ) - 1 - exp(-|a - b|/τ)),

    so the standard deviation grows as s·age at first and as s·√(2τ·age) later.

    References
    ----------
    Taylor (1922), Proc. Lond. Math. Soc. s2-20:196; Uhlenbeck & Ornstein (1930), Phys. Rev. 36:823.
    """
    first, second = a[:, None] / SPELL_DAYS, b[None, :] / SPELL_DAYS
    joint = 2 * np.minimum(first, second) + np.exp(-first) + np.exp(-second)
    return np.asarray((PACE_SD * SPELL_DAYS) ** 2 * (joint - 1 - np.exp(-np.abs(first - second))))


def clock_variance(age: Array) -> Array:
    """Variance (days²) of how far the clock is ahead at each thermal age."""
    spells = age / SPELL_DAYS
    return np.asarray(2 * (PACE_SD * SPELL_DAYS) ** 2 * (spells + np.expm1(-spells)))
