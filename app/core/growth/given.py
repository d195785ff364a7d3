"""How far a batch's clock strays at its checks, for each of many curves that the batch may follow."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from app.core.growth.mode import Seen, on_own_clock
from app.core.growth.priors import Prior
from app.core.growth.wandering import clock_covariance, clock_variance

Array = NDArray[np.float64]

LEAST_CURVED = 0.25
"""The least curvature a check keeps, as a share of what its slope alone gives."""

MOST_SKEWED = 2.0
"""Bound on the skewness by which a mean is moved off its mode: beyond it the series says nothing."""


@dataclass(frozen=True, slots=True, eq=False)
class Strays:
    """The clock's strays at the checks, given each curve.

    ``logs`` is the log density of the checks given the curve; ``pull`` C⁻¹ times the mean strays, curves by
    checks; ``root`` R with C - C R' R C the covariance that the checks leave, checks by checks by curves.
    C is the clock's own covariance.
    """

    ages: Array
    logs: Array = field(repr=False)
    pull: Array = field(repr=False)
    root: Array = field(repr=False)

    def at(self, age: Array) -> tuple[Array, Array]:
        """Mean age on the batch's clock, and its standard deviation, at each age: curves by ages."""
        towards = clock_covariance(self.ages, age)
        by_root = self.root.transpose(0, 2, 1) @ towards
        known = np.einsum("icd,icd->cd", by_root, by_root)
        return age + self.pull @ towards, np.sqrt(np.maximum(clock_variance(age) - known, 1e-12))


@dataclass(frozen=True, slots=True, eq=False)
class _Bend:
    """First three derivatives of each check's log likelihood by the clock's stray, the second as a weight."""

    slope: Array
    weight: Array
    third: Array


def strays(prior: Prior, data: Seen, curves: Array, start: Array) -> Strays:
    """Integrate the wandering of the clock out, curve by curve.

    Laplace's approximation for a normal process seen through a curve, after Rasmussen & Williams; the
    mean is then moved off the mode by V (l''' diag V) / 2, with V the covariance and l''' the third
    derivatives of the log likelihood, as growth slows and so a clock can be further ahead than behind.

    References
    ----------
    Rasmussen & Williams (2006), Gaussian Processes for Machine Learning, algorithm 3.1; Tierney, Kass &
    Kadane (1989), J. Am. Stat. Assoc. 84:710, for the mean.
    """
    wander = clock_covariance(data.ages, data.ages)
    bend = _bend(prior, data, curves, start)
    root, size = _root(np.sqrt(bend.weight).T, wander)
    by_root = wander @ root
    wanted = (bend.weight * start + bend.slope).T
    pull = wanted - _through(root, by_root, wanted)
    ahead = wander @ pull
    missed = (data.logs - np.log(prior.lengths(curves, on_own_clock(data.ages, ahead.T)))) / data.noise
    logs = -0.5 * ((missed**2).sum(axis=1) + (pull * ahead).sum(axis=0)) - size
    skewed = _skewed(bend.third.T, np.diag(wander)[:, None] - (by_root**2).sum(axis=0))
    return Strays(data.ages, logs, (pull + skewed - _through(root, by_root, skewed)).T, root)


def _root(half: Array, wander: Array) -> tuple[Array, Array]:
    """Return R = L⁻¹ W½ and the log determinant of L, where L L' = I + W½ C W½: checks by checks by curves.

    Elimination of all curves at once: far sooner done than one small matrix after another.
    """
    n, unit = len(half), np.eye(len(half))[:, :, None]
    rows = np.concatenate([unit + half[:, None] * wander[:, :, None] * half, unit * half], axis=1)
    size = np.zeros(half.shape[1])
    for i in range(n):
        some = slice(i, n + i + 1)  # the rest of the row is done, or still 0
        rows[i, some] /= np.sqrt(rows[i, i])
        size += np.log(rows[i, i])
        rows[i + 1 :, some] -= (rows[i + 1 :, i] / rows[i, i])[:, None] * rows[i, some]
    return rows[:, n:], size


def _through(root: Array, by_root: Array, pull: Array) -> Array:
    """Return R' R C times a pull at the checks: checks by curves."""
    return np.asarray(np.einsum("ijc,ic->jc", root, np.einsum("ijc,jc->ic", by_root, pull)))


def _skewed(third: Array, variance: Array) -> Array:
    """Pull by which the skewness of each check's likelihood moves the mean off the mode."""
    spread = np.sqrt(np.maximum(variance, 1e-9))
    return np.asarray(0.5 * np.clip(third * spread**3, -MOST_SKEWED, MOST_SKEWED) / spread)


def _bend(prior: Prior, data: Seen, curves: Array, ahead: Array) -> _Bend:
    logs, first, second, third = prior.log_climb(curves, on_own_clock(data.ages, ahead))
    tight = 1 / data.noise**2
    missed, slopes = data.logs - logs, first * first
    weight = tight * np.maximum(slopes - missed * second, LEAST_CURVED * slopes)
    return _Bend(tight * missed * first, weight, tight * (missed * third - 3 * first * second))
