"""A brood's growth curve after its length checks: a cloud of weighted curves, found without chance."""

from dataclasses import dataclass, field
from functools import cache

import numpy as np
from numpy.typing import NDArray

from app.core.growth.clock import Clock
from app.core.growth.curves import Model, lengths
from app.core.growth.mode import Mode
from app.core.growth.priors import FISH_CV, LikelihoodSummary, Prior
from app.core.stats.fitting import Cloud, cloud, normal_nodes, quantiles

Array = NDArray[np.float64]

NEVER = 1e9
"""Stands for a length that is never reached, in days."""

WEEKS = 79
"""Weeks of a batch's life that are reckoned one by one: a year and a half."""

PAIRS = 128
"""Half the number of curves that stand for the posterior."""


@dataclass(frozen=True, slots=True, eq=False)
class Posterior:
    """A brood's curves with their weights, and what its checks alone said (for later broods).

    ``table`` has each curve's length on each day of :func:`grid`; ``shares`` the part each check
    has in it; ``summary`` what the checks said apart from the prior.
    """

    prior: Prior
    clock: Clock
    points: Array = field(repr=False)
    weights: Array = field(repr=False)
    table: Array = field(repr=False)
    mode: Array
    fish_cv: float = FISH_CV
    shares: tuple[float, ...] = ()
    summary: LikelihoodSummary | None = None

    @property
    def model(self) -> Model:
        """Which curve it is."""
        return self.prior.model

    @property
    def days(self) -> Array:
        """Days after birth of the columns of ``table``."""
        return grid(len(self.clock.ages) - 1)

    def lengths(self, days: Array) -> Array:
        """Mean length of the batch (mm) for each curve, ``days`` after birth: curves by days."""
        return self.prior.lengths(self.points, self.clock.at(days))

    def by_sex(self, days: Array) -> list[tuple[float, Array]]:
        """Share of each sex in the batch, with its lengths as in :meth:`lengths`."""
        age = self.clock.at(days)
        return [(part.share, lengths(self.model, part.logs + self.points, age)) for part in self.prior.parts]

    def quantiles(self, days: Array, levels: tuple[float, ...]) -> Array:
        """Quantiles of the batch's mean length: levels by days."""
        ready = len(days) <= WEEKS and np.array_equal(days, self.days[: len(days)])
        return quantiles(self.table[:, : len(days)] if ready else self.lengths(days), self.weights, levels)

    def days_to(self, length_mm: float) -> Array:
        """Days after birth at which each curve reaches a length; NEVER where it does not."""
        return crossings(self.table, self.days, length_mm)


def measured(mode: Mode, clock: Clock) -> Posterior:
    """Spread 256 weighted curves about the likeliest one.

    Laplace's normal approximation places them, and the true density weighs them.
    """
    found = _cloud(mode)
    table = _table(mode.prior, clock, found.points)
    return Posterior(
        mode.prior,
        clock,
        found.points,
        found.weights,
        table,
        mode.fit.parameters,
        mode.seen.fish_cv,
        mode.shares,
        mode.summary,
    )


def unmeasured(prior: Prior, clock: Clock) -> Posterior:
    """Return what is expected of a brood that was never measured."""
    points = _expected(prior)
    weights = np.full(len(points), 1 / len(points))
    return Posterior(prior, clock, points, weights, _table(prior, clock, points), prior.mean)


def expected_lengths(prior: Prior, age: float) -> Array:
    """Return mean lengths of broods never measured, at one thermal age, equally likely each."""
    return prior.lengths(_expected(prior), np.array([age]))[:, 0]


@cache
def grid(last: int) -> Array:
    """Days on which curves are reckoned: weekly for a year and a half, then every fourth week."""
    weekly = np.arange(WEEKS) * 7.0
    days = np.concatenate([weekly, np.arange(weekly[-1] + 28, last + 1, 28.0)])
    days.setflags(write=False)
    return days


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


def _expected(prior: Prior) -> Array:
    root = np.linalg.cholesky(prior.covariance)
    return np.asarray(prior.mean + normal_nodes(3, PAIRS) @ root.T)


def _table(prior: Prior, clock: Clock, points: Array) -> Array:
    return prior.lengths(points, clock.at(grid(len(clock.ages) - 1)))


def _cloud(mode: Mode) -> Cloud:
    prior, seen = mode.prior, mode.seen
    tight = np.linalg.inv(prior.covariance)

    def log_density(points: Array) -> Array:
        apart = points - prior.mean
        missed = (np.log(prior.lengths(points, seen.ages)) - seen.logs) / seen.noise
        return np.asarray(-0.5 * (((apart @ tight) * apart).sum(axis=1) + (missed**2).sum(axis=1)))

    return cloud(log_density, mode.fit.parameters, mode.fit.covariance, PAIRS)
