"""The likeliest curve for a brood's length checks, and what the checks alone said."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.core.growth.clock import Clock
from app.core.growth.curves import slopes
from app.core.growth.evidence import LengthCheck
from app.core.growth.priors import CHECK_CV, FISH_CV, FISH_CV_COUNTS, LikelihoodSummary, Prior
from app.core.stats.fitting import Fit, least_squares

Array = NDArray[np.float64]

SCATTER_CHECKS = 4
"""Checks from which on their own scatter about the curve counts."""


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """A brood's checks as numbers: thermal ages, log mean lengths, their SD, and the fish-to-fish CV."""

    ages: Array
    logs: Array
    noise: Array
    fish_cv: float


@dataclass(frozen=True, slots=True, eq=False)
class Mode:
    """The posterior mode with its curvature; ``log_evidence`` tells which curve the data prefer."""

    prior: Prior
    seen: Seen
    fit: Fit
    slopes: Array

    @property
    def log_evidence(self) -> float:
        """Log of the integral over all curves, by Laplace's approximation, up to a shared constant."""
        prior, own = (np.linalg.slogdet(m)[1] for m in (self.prior.covariance, self.fit.information))
        return float(-0.5 * (self.fit.rss + prior + own))

    @property
    def summary(self) -> LikelihoodSummary:
        """What the checks said apart from the prior, for the line's later broods."""
        tight = np.linalg.inv(self.prior.covariance)
        information = self.slopes.T @ self.slopes
        pull = (information + tight) @ self.fit.parameters - tight @ self.prior.mean
        return LikelihoodSummary(information, pull)

    @property
    def shares(self) -> tuple[float, ...]:
        """How much of what is known about the length at the last check is owed to each check."""
        towards = self.slopes[-1] * self.seen.noise[-1]
        spread = self.fit.covariance @ towards
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

    Needs four checks; the extra variance is what the samples leave unexplained, shrunk to nothing by
    four more. None where the noise stands.
    """
    data = mode.seen
    if len(data.ages) < SCATTER_CHECKS:
        return None
    missed = log_slopes(mode.prior, mode.fit.parameters, data.ages)[0] - data.logs
    free = (len(missed) - 2) / len(missed)
    extra = float((missed**2).sum() - free * (data.noise**2).sum()) / (len(missed) + 4)
    if extra < (2 * CHECK_CV) ** 2:
        return None
    return Seen(data.ages, data.logs, np.sqrt(data.noise**2 + extra), data.fish_cv)


def find_mode(prior: Prior, data: Seen) -> Mode:
    """Climb to the likeliest curve: normal log means, normal prior on the log parameters."""
    whiten = np.linalg.inv(np.linalg.cholesky(prior.covariance))

    def residuals(at: Array) -> tuple[Array, Array]:
        logs, by = log_slopes(prior, at, data.ages)
        r = np.concatenate([(logs - data.logs) / data.noise, whiten @ (at - prior.mean)])
        return r, np.concatenate([by / data.noise[:, None], whiten])

    fit = least_squares(residuals, prior.mean, precision=1e-5)
    return Mode(prior, data, fit, residuals(fit.parameters)[1][: len(data.ages)])


def log_slopes(prior: Prior, at: Array, ages: Array) -> tuple[Array, Array]:
    """Log of the batch's mean length at each age, and its derivatives by the deviations."""
    length, by = slopes(prior.model, prior.parts[0].logs + at, ages)
    if len(prior.parts) == 1:
        return np.log(length), by / length[:, None]
    share = prior.parts[0].share
    other, its = slopes(prior.model, prior.parts[1].logs + at, ages)
    length, by = share * length + (1 - share) * other, share * by + (1 - share) * its
    return np.log(length), by / length[:, None]
