"""A brood's growth curve after its length checks: a cloud of weighted curves, found without chance."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from app.core.growth.clock import Clock
from app.core.growth.curves import Model, lengths, slopes
from app.core.growth.evidence import LengthCheck
from app.core.growth.priors import CHECK_CV, FISH_CV, FISH_CV_COUNTS, LikelihoodSummary, Prior
from app.core.stats.fitting import Cloud, Fit, cloud, least_squares, quantiles

Array = NDArray[np.float64]

NEVER = 1e9
"""Stands for a length that is never reached, in days."""


@dataclass(frozen=True, slots=True, eq=False)
class Posterior:
    """A brood's curves with their weights, and what its checks alone said (for later broods).

    ``summaries`` holds one likelihood per growth curve that was fitted.
    """

    prior: Prior
    clock: Clock
    points: Array = field(repr=False)
    weights: Array = field(repr=False)
    fish_cv: float
    mode: Array
    log_evidence: float
    shares: tuple[float, ...]
    summaries: tuple[LikelihoodSummary, ...] = ()

    @property
    def model(self) -> Model:
        """Which curve it is."""
        return self.prior.model

    def lengths(self, days: Array) -> Array:
        """Mean length of the batch (mm) for each curve, ``days`` after birth: curves by days."""
        return self.prior.lengths(self.points, self.clock.at(days))

    def by_sex(self, days: Array) -> list[tuple[float, Array]]:
        """Share of each sex in the batch, with its lengths as in :meth:`lengths`."""
        age = self.clock.at(days)
        return [(part.share, lengths(self.model, part.logs + self.points, age)) for part in self.prior.parts]

    def quantiles(self, days: Array, levels: tuple[float, ...]) -> Array:
        """Quantiles of the batch's mean length: levels by days."""
        return quantiles(self.lengths(days), self.weights, levels)

    def days_to(self, length_mm: float) -> Array:
        """Days after birth at which each curve reaches a length; NEVER where it does not."""
        days = grid(len(self.clock.ages) - 1)
        return crossings(self.lengths(days), days, length_mm)


def grid(last: int) -> Array:
    """Days on which curves are reckoned: weekly for a year and a half, then every fourth week."""
    weekly = np.arange(0.0, 547.0, 7.0)
    return np.concatenate([weekly, np.arange(weekly[-1] + 28, last + 1, 28.0)])


def crossings(values: Array, days: Array, level: float) -> Array:
    """First day at which each rising row of values reaches a level, straight between grid days."""
    reached = values >= level
    after = reached.argmax(axis=1)
    rows = np.arange(len(values))
    before = np.maximum(after - 1, 0)
    low, high = values[rows, before], values[rows, after]
    rise = np.where(high > low, high - low, 1.0)
    between = days[before] + (days[after] - days[before]) * np.clip((level - low) / rise, 0, 1)
    return np.where(reached.any(axis=1), between, NEVER)


def fish_cv(prior: Prior, checks: Sequence[LengthCheck], ages: Array) -> float:
    """Fish-to-fish CV within a sex: the usual one, moved by the spread of the samples.

    Pooled variance with the usual CV counting as eight fish; the difference between the sexes is
    taken out of an unsexed sample first.
    """
    counted, squares = FISH_CV_COUNTS, FISH_CV_COUNTS * FISH_CV**2
    between = prior.between_sexes(ages)
    for check, sexes in zip(checks, between, strict=True):
        if check.sd_mm is not None and check.n > 1:
            counted += check.n - 1
            squares += (check.n - 1) * max((check.sd_mm / check.mean_mm) ** 2 - sexes, 0.0)
    return float(np.clip((squares / counted) ** 0.5, 0.02, 0.35))


def posterior(prior: Prior, checks: Sequence[LengthCheck], clock: Clock) -> Posterior:
    """Fit one curve to a brood's checks.

    The log of each check's mean is normal about the log of the curve, with variance
    CV² / n + (between-sex CV²) / n + 0.03²; the prior is normal on the log parameters. The mode is
    found by damped Gauss-Newton steps, and 256 fixed points about it, weighted by the true density,
    stand for the posterior.
    """
    ages = clock.at(np.array([(c.day - clock.born).days for c in checks], dtype=float))
    cv = fish_cv(prior, checks, ages)
    sizes = np.array([c.n for c in checks], dtype=float)
    noise = np.sqrt((cv**2 + prior.between_sexes(ages)) / np.maximum(sizes, 1) + CHECK_CV**2)
    seen = np.log([c.mean_mm for c in checks]) if checks else np.zeros(0)
    fit = _mode(prior, ages, seen, noise)
    found = _cloud(prior, ages, seen, noise, fit)
    jac = _log_slopes(prior, fit.parameters, ages)[1] / noise[:, None]
    return Posterior(
        prior,
        clock,
        found.points,
        found.weights,
        cv,
        fit.parameters,
        found.log_evidence,
        _shares(prior, fit, jac, ages),
        (_summary(prior, fit, jac),) if checks else (),
    )


def _log_slopes(prior: Prior, at: Array, ages: Array) -> tuple[Array, Array]:
    length, by = np.zeros(len(ages)), np.zeros((len(ages), 3))
    for part in prior.parts:
        one, its = slopes(prior.model, part.logs + at, ages)
        length, by = length + part.share * one, by + part.share * its
    return np.log(length), by / length[:, None]


def _mode(prior: Prior, ages: Array, seen: Array, noise: Array) -> Fit:
    whiten = np.linalg.inv(np.linalg.cholesky(prior.covariance))

    def residuals(at: Array) -> tuple[Array, Array]:
        log_length, by = _log_slopes(prior, at, ages)
        r = np.concatenate([(log_length - seen) / noise, whiten @ (at - prior.mean)])
        return r, np.concatenate([by / noise[:, None], whiten])

    return least_squares(residuals, prior.mean)


def _cloud(prior: Prior, ages: Array, seen: Array, noise: Array, fit: Fit) -> Cloud:
    tight = np.linalg.inv(prior.covariance)
    constant = 0.5 * (np.linalg.slogdet(tight)[1] - 3 * np.log(2 * np.pi))

    def log_density(points: Array) -> Array:
        apart = points - prior.mean
        own = -0.5 * np.einsum("ij,jk,ik->i", apart, tight, apart) + constant
        if not len(seen):
            return np.asarray(own)
        missed = (np.log(prior.lengths(points, ages)) - seen) / noise
        return np.asarray(own - 0.5 * (missed**2).sum(axis=1))

    return cloud(log_density, fit.parameters, fit.covariance)


def _summary(prior: Prior, fit: Fit, jac: Array) -> LikelihoodSummary:
    tight = np.linalg.inv(prior.covariance)
    information = jac.T @ jac
    pull = (information + tight) @ fit.parameters - tight @ prior.mean
    return LikelihoodSummary(prior.model, information, pull)


def _shares(prior: Prior, fit: Fit, jac: Array, ages: Array) -> tuple[float, ...]:
    """How much of what is known about the length at the last check comes from each check (0 to 1)."""
    if not len(ages):
        return ()
    towards = _log_slopes(prior, fit.parameters, ages[-1:])[1][0]
    spread = fit.covariance @ towards
    return tuple(float(s) for s in (jac @ spread) ** 2 / (towards @ spread))
