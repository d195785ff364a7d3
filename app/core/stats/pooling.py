"""Closed-form pooling: conjugate updates and several estimates of one thing."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from scipy.special import betaincinv

from app.core.problems import Problem


@dataclass(frozen=True, slots=True)
class Pooled:
    """A pooled mean and its variance."""

    mean: float
    variance: float

    @property
    def sd(self) -> float:
        """The root of the variance."""
        return sqrt(self.variance)


def normal_update(prior: Pooled, mean: float, sd: float, n: int = 1) -> Pooled:
    """Return the posterior of a normal mean after ``n`` observations with known SD.

    1/v' = 1/v + n/sd²,  m' = v' (m/v + n mean/sd²)

    References
    ----------
    Gelman et al., Bayesian Data Analysis, 3rd ed., section 2.5.
    """
    if n < 1:
        raise Problem("no observations; leave the prior as it is, or give at least one", "n")
    variance = 1 / (1 / prior.variance + n / sd**2)
    return Pooled(variance * (prior.mean / prior.variance + n * mean / sd**2), variance)


def complete_pooling(means: Sequence[float], sds: Sequence[float]) -> Pooled:
    """Return the precision-weighted mean of estimates of one number.

    References
    ----------
    Gelman et al., Bayesian Data Analysis, 3rd ed., section 5.5.
    """
    if not means:
        raise Problem("nothing to pool; give at least one estimate", "means")
    weights = [1 / sd**2 for sd in sds]
    total = sum(weights)
    return Pooled(sum(w * m for w, m in zip(weights, means, strict=True)) / total, 1 / total)


def heterogeneity(means: Sequence[float], sds: Sequence[float]) -> tuple[float, float]:
    """Return Cochran's Q and the DerSimonian–Laird variance between estimates.

    Q = sum w (m - pooled)²,  tau² = max(0, (Q - (k - 1)) / (sum w - sum w² / sum w)),  w = 1/sd²

    References
    ----------
    DerSimonian & Laird (1986), Controlled Clinical Trials 7:177.
    """
    pooled = complete_pooling(means, sds).mean
    weights = [1 / sd**2 for sd in sds]
    q = sum(w * (m - pooled) ** 2 for w, m in zip(weights, means, strict=True))
    spare = sum(weights) - sum(w * w for w in weights) / sum(weights)
    return q, max(0.0, (q - (len(means) - 1)) / spare) if spare > 0 else 0.0


@dataclass(frozen=True, slots=True)
class MeanAndVariance:
    """A belief about mean and variance: normal-inverse-gamma in Hoff's terms.

    ``variance`` counts as ``nu`` observations, ``mean`` as ``kappa``.
    """

    mean: float
    kappa: float
    variance: float
    nu: float

    def update(self, seen: Sequence[float]) -> "MeanAndVariance":
        """Return the belief after some observations.

        References
        ----------
        Hoff (2009), A First Course in Bayesian Statistical Methods, section 5.3.
        """
        n = len(seen)
        if not n:
            return self
        mean = sum(seen) / n
        squares = sum((y - mean) ** 2 for y in seen)
        kappa, nu = self.kappa + n, self.nu + n
        apart = self.kappa * n / kappa * (mean - self.mean) ** 2
        return MeanAndVariance(
            mean=(self.kappa * self.mean + n * mean) / kappa,
            kappa=kappa,
            variance=(self.nu * self.variance + squares + apart) / nu,
            nu=nu,
        )


@dataclass(frozen=True, slots=True)
class Share:
    """A belief about a share: Beta(a, b)."""

    a: float
    b: float

    def update(self, hits: int, misses: int) -> "Share":
        """Return the belief after that many hits and misses (conjugacy)."""
        return Share(self.a + hits, self.b + misses)

    @property
    def mean(self) -> float:
        """A / (a + b)."""
        return self.a / (self.a + self.b)

    @property
    def sd(self) -> float:
        """Root of a b / ((a + b)² (a + b + 1))."""
        n = self.a + self.b
        return sqrt(self.a * self.b / (n * n * (n + 1)))

    def interval(self, level: float = 0.95) -> tuple[float, float]:
        """Return the central credible interval."""
        tail = (1 - level) / 2
        return (
            float(betaincinv(self.a, self.b, tail)),
            float(betaincinv(self.a, self.b, 1 - tail)),
        )
