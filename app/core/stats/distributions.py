"""Normal, log-normal and tabulated distributions: quantiles, densities, where an outcome fell."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, pi, sqrt

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

from app.core.problems import Problem

Array = NDArray[np.float64]
_ENDS = 0.9  # a table must reach this probability


@dataclass(frozen=True, slots=True)
class Normal:
    """N(mean, sd²)."""

    mean: float
    sd: float

    def cdf(self, x: float) -> float:
        """Return P(X <= x)."""
        return float(ndtr((x - self.mean) / self.sd))

    def quantile(self, level: float) -> float:
        """Return the x with P(X <= x) = level."""
        return self.mean + self.sd * float(ndtri(level))

    def log_density(self, x: float) -> float:
        """Return ln f(x)."""
        z = (x - self.mean) / self.sd
        return -0.5 * z * z - log(self.sd * sqrt(2 * pi))


@dataclass(frozen=True, slots=True)
class LogNormal:
    """X with ln X ~ N(mu, sigma²).

    References
    ----------
    Aitchison & Brown (1957), The Lognormal Distribution; Limpert et al. (2001), BioScience 51:341.
    """

    mu: float
    sigma: float

    @property
    def median(self) -> float:
        """exp(mu)."""
        return exp(self.mu)

    @property
    def mean(self) -> float:
        """exp(mu + sigma² / 2)."""
        return exp(self.mu + self.sigma**2 / 2)

    @property
    def mode(self) -> float:
        """exp(mu - sigma²)."""
        return exp(self.mu - self.sigma**2)

    @property
    def sd(self) -> float:
        """Mean * sqrt(exp(sigma²) - 1)."""
        return self.mean * sqrt(exp(self.sigma**2) - 1)

    def cdf(self, x: float) -> float:
        """Return P(X <= x)."""
        return float(ndtr((log(x) - self.mu) / self.sigma)) if x > 0 else 0.0

    def quantile(self, level: float) -> float:
        """Return the x with P(X <= x) = level."""
        return exp(self.mu + self.sigma * float(ndtri(level)))


class Table:
    """A distribution given as P(X <= x) at rising x.

    When every x is a whole number, X is whole as well and the function is a staircase, as of a date;
    otherwise it is joined by straight lines. What is missing to 1 sits at the last x.

    Raises
    ------
    Problem
        When x does not rise, p falls or leaves 0 to 1, or the table ends below 0.9.
    """

    def __init__(self, x: Sequence[float], p: Sequence[float]) -> None:
        self.x: Array = np.asarray(x, dtype=np.float64)
        self.p: Array = np.asarray(p, dtype=np.float64)
        self._check()
        self.whole = bool(np.all(self.x == np.round(self.x)))

    def _check(self) -> None:
        if not self.x.size:
            raise Problem("an empty table; give at least one x with its p")
        if np.any(np.diff(self.x) <= 0):
            raise Problem("x must rise from row to row; sort the rows and keep one for each x")
        if np.any(np.diff(self.p) < 0) or self.p[0] < 0 or self.p[-1] > 1:
            raise Problem("p must lie in 0 to 1 and never fall from row to row")
        if self.p[-1] < _ENDS:
            raise Problem(f"p ends at {self.p[-1]:g}; carry the table on until p is 0.9 or more")

    def cdf(self, x: float) -> float:
        """Return P(X <= x)."""
        if x >= self.x[-1]:
            return 1.0
        if x < self.x[0]:
            return 0.0
        if self.whole:
            return float(self.p[self.x.searchsorted(x, side="right") - 1])
        return float(np.interp(x, self.x, self.p))

    def cdfs(self, x: Array) -> Array:
        """Return P(X <= x) at every x, none of which lies before the first or at the last of the table."""
        if self.whole:
            return self.p[self.x.searchsorted(x, side="right") - 1]
        return np.interp(x, self.x, self.p)

    def below(self, x: float) -> float:
        """Return P(X < x)."""
        if not self.whole:
            return self.cdf(x)
        at = int(self.x.searchsorted(x))
        return float(self.p[at - 1]) if at else 0.0

    def quantile(self, level: float) -> float:
        """Return the least x with P(X <= x) >= level."""
        at = min(int(self.p.searchsorted(level)), self.x.size - 1)
        if self.whole or at == 0 or self.p[at] < level:
            return float(self.x[at])
        return float(np.interp(level, self.p[at - 1 : at + 1], self.x[at - 1 : at + 1]))


def randomised(below: float, upto: float, u: float) -> float:
    """Return a PIT value that is uniform for a calibrated distribution with steps.

    below + u * (upto - below), u ~ U(0, 1); u = 1/2 gives the middle of the step.

    References
    ----------
    Czado, Gneiting & Held (2009), Biometrics 65:1254, from memory.
    """
    return below + u * (upto - below)
