"""The likeliest curve for a brood's length checks, and what the checks alone said."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from app.core.growth.clock import Clock
from app.core.growth.curves import slopes
from app.core.growth.evidence import LengthCheck
from app.core.growth.priors import CHECK_CV, FISH_CV, FISH_CV_COUNTS, LikelihoodSummary, Prior
from app.core.growth.wandering import clock_covariance
from app.core.stats.fitting import least_squares

Array = NDArray[np.float64]

SCATTER_CHECKS = 4
"""Checks from which on their own scatter about the curve counts."""

LEAST_OF_AGE = 0.2
"""The least a batch's own clock can show of its thermal age (judgement; it is hardly ever met)."""

JITTER = 1e-9
"""Keeps the covariance of checks a day apart invertible."""


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """A brood's checks as numbers: thermal ages, log mean lengths, their SD, and the fish-to-fish CV."""

    ages: Array
    logs: Array
    noise: Array
    fish_cv: float


@dataclass(frozen=True, slots=True, eq=False)
class Met:
    """The checks as they bear on the curve alone, once the wandering of the clock is integrated out.

    About the likeliest wandering a check is linear in it, log L(θ + d + e) = log L(θ + d) + g e, so the
    curve meets ln mean + g d at ``ages`` (θ + d) with covariance diag(noise²) + g g' cov. ``rates`` are
    the g, growth of the log per day; ``whiten`` turns residuals into standard normals.
    """

    ages: Array
    rates: Array
    whiten: Array


@dataclass(frozen=True, slots=True, eq=False)
class Mode:
    """The posterior mode with its curvature; ``log_evidence`` tells which curve the data prefer."""

    prior: Prior
    seen: Seen
    met: Met
    parameters: Array
    rss: float
    slopes: Array

    @property
    def information(self) -> Array:
        """Curvature at the mode: what checks and prior say together."""
        return np.asarray(self.slopes.T @ self.slopes + self.prior.precision)

    @property
    def covariance(self) -> Array:
        """Covariance of Laplace's normal approximation."""
        return np.asarray(np.linalg.inv(self.information))

    @property
    def log_evidence(self) -> float:
        """Log of the integral over all curves, by Laplace's approximation, up to a shared constant."""
        prior, own = (np.linalg.slogdet(m)[1] for m in (self.prior.covariance, self.information))
        noise = -2 * np.log(np.diag(self.met.whiten)).sum()
        return float(-0.5 * (self.rss + noise + prior + own))

    @property
    def summary(self) -> LikelihoodSummary:
        """What the checks said apart from the prior, for the line's later broods."""
        information = self.slopes.T @ self.slopes
        pull = self.information @ self.parameters - self.prior.precision @ self.prior.mean
        return LikelihoodSummary(information, pull)

    def ahead(self, curves: Array) -> Array:
        """How far the clock is likely ahead at the checks for curves near the mode, to first order."""
        met, wander = self.met, clock_covariance(self.seen.ages, self.seen.ages)
        by_curve = wander * met.rates @ met.whiten.T @ self.slopes
        return np.asarray(met.ages - self.seen.ages - (curves - self.parameters) @ by_curve.T)

    @property
    def shares(self) -> tuple[float, ...]:
        """How much of what is known of the curve at the last check each check added to those before."""
        towards = log_slopes(self.prior, self.parameters, self.met.ages)[1][-1]
        spread = self.covariance @ towards
        return tuple(float(s) for s in (self.slopes @ spread) ** 2 / (towards @ spread))


def seen(prior: Prior, checks: Sequence[LengthCheck], clock: Clock) -> Seen:
    """Turn checks into numbers.

    The log of each mean has variance (CV² + between-sex CV²) / n + 0.02².
    """
    ages = clock.at(np.array([(c.day - clock.born).days for c in checks], dtype=float))
    between = prior.between_sexes(ages)
    cv = fish_cv(checks, between)
    sizes = np.array([c.n for c in checks], dtype=float)
    noise = np.sqrt((cv**2 + between) / sizes + CHECK_CV**2)
    return Seen(ages, np.log([c.mean_mm for c in checks]), noise, cv)


def fish_cv(checks: Sequence[LengthCheck], between: Array) -> float:
    """Fish-to-fish CV within a sex: the usual one, moved by the spread of the samples.

    Pooled variance, with the usual CV counting as eight fish; ``between``, the squared CV that the
    difference between the sexes makes, is taken out of an unsexed sample first.
    """
    counted, squares = FISH_CV_COUNTS, FISH_CV_COUNTS * FISH_CV**2
    for check, sexes in zip(checks, between, strict=True):
        if check.sd_mm is not None and check.n > 1:
            counted += check.n - 1
            squares += (check.n - 1) * max((check.sd_mm / check.mean_mm) ** 2 - float(sexes), 0.0)
    return float(min(max((squares / counted) ** 0.5, 0.02), 0.35))


def loosened(mode: Mode) -> Seen | None:
    """Return the checks with more noise where they scatter wider about the curve than samples would.

    What a check misses curve and clock by is e = N S⁻¹ r, with N the noise, S noise and wandering together
    and r what it misses the curve by; the extra variance t of each check is found from its mean square,
    E(e'e) = tr(N S⁻¹ N) + t tr(N S⁻² N), and shrunk by four more checks. Needs four checks; None where the
    noise stands.
    """
    data, met = mode.seen, mode.met
    n = len(data.ages)
    if n < SCATTER_CHECKS:
        return None
    missed = log_slopes(mode.prior, mode.parameters, met.ages)[0] - data.logs
    by_noise = met.whiten.T @ met.whiten * data.noise**2
    expected, gain = float(np.diag(by_noise) @ data.noise**2), float((by_noise**2).sum())
    extra = (float(missed @ missed) - (n - 2) / n * expected) / gain * n / (n + 4)
    if extra < (2 * CHECK_CV) ** 2:
        return None
    return replace(data, noise=np.sqrt(data.noise**2 + extra))


def find_mode(prior: Prior, data: Seen) -> Mode:
    """Climb to the likeliest curve and wandering at once.

    Normal log means, normal prior on the log parameters, and the clock ahead by C v at the checks, where
    v is standard normal and C C' the covariance of :func:`clock_covariance`.
    """
    whiten = np.linalg.inv(np.linalg.cholesky(prior.covariance))
    wander = clock_covariance(data.ages, data.ages)
    root = np.linalg.cholesky(wander + np.diag(JITTER + JITTER * np.diag(wander)))
    n = len(data.ages)
    jac = np.zeros((2 * n + 3, n + 3))
    jac[n : n + 3, :3], jac[n + 3 :, 3:] = whiten, np.eye(n)

    def residuals(at: Array) -> tuple[Array, Array]:
        ages = on_own_clock(data.ages, root @ at[3:])
        logs, by = log_slopes(prior, at[:3], ages)
        found = jac.copy()
        found[:n, :3] = by / data.noise[:, None]
        found[:n, 3:] = root * (by[:, 2] / ages / data.noise)[:, None]
        r = np.concatenate([(logs - data.logs) / data.noise, whiten @ (at[:3] - prior.mean), at[3:]])
        return r, found

    fit = least_squares(residuals, np.concatenate([prior.mean, np.zeros(n)]), precision=2e-3, unit=0.1)
    curve = fit.parameters[:3]
    met, by = _met(prior, data, curve, on_own_clock(data.ages, root @ fit.parameters[3:]), wander)
    return Mode(prior, data, met, curve, fit.rss, met.whiten @ by)


def on_own_clock(ages: Array, days: Array) -> Array:
    """Ages on the batch's own clock: it may stand nearly still but never runs backwards from birth."""
    return np.asarray(np.maximum(ages + days, LEAST_OF_AGE * ages + 1e-3))


def _met(prior: Prior, data: Seen, curve: Array, ages: Array, wander: Array) -> tuple[Met, Array]:
    _, by = log_slopes(prior, curve, ages)
    rates = by[:, 2] / ages  # a rate faster by a share is a clock ahead by that share of the age
    covariance = np.diag(data.noise**2) + np.outer(rates, rates) * wander
    return Met(ages, rates, np.linalg.inv(np.linalg.cholesky(covariance))), by


def log_slopes(prior: Prior, at: Array, ages: Array) -> tuple[Array, Array]:
    """Log of the batch's mean length at each age, and its derivatives by the deviations."""
    length, by = slopes(prior.model, prior.parts[0].logs + at, ages)
    if len(prior.parts) == 1:
        return np.log(length), by / length[:, None]
    share = prior.parts[0].share
    other, its = slopes(prior.model, prior.parts[1].logs + at, ages)
    length, by = share * length + (1 - share) * other, share * by + (1 - share) * its
    return np.log(length), by / length[:, None]
