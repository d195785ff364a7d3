"""A brood's growth curve after its length checks: a cloud of weighted curves, found without chance."""

from dataclasses import dataclass, field
from functools import cache

import numpy as np
from numpy.typing import NDArray

from app.core.growth.clock import Clock
from app.core.growth.curves import Model, lengths
from app.core.growth.mode import Mode
from app.core.growth.priors import FISH_CV, LikelihoodSummary, Prior
from app.core.growth.wandering import clock_covariance, clock_variance
from app.core.stats.fitting import Cloud, cloud, normal_nodes, quantiles

Array = NDArray[np.float64]

NEVER = 1e9
"""Stands for a length that is never reached, in days."""

SPACING = ((140, 7), (364, 14), (728, 28))
"""Days between which curves are drawn straight, by age: weekly when young, then wider; 56 at last."""

PAIRS = 160
"""Half the number of curves that stand for the posterior."""


@dataclass(frozen=True, slots=True, eq=False)
class Posterior:
    """A brood's curves with their weights, and what its checks alone said (for later broods).

    ``ages`` has the age each curve's own clock shows on each day of :func:`grid`, ``table`` its length
    then; ``shares`` the part each check has in it; ``summary`` what the checks said apart from the prior.
    """

    prior: Prior
    clock: Clock
    points: Array = field(repr=False)
    weights: Array = field(repr=False)
    ages: Array = field(repr=False)
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
        """Mean length of the batch (mm) for each curve, straight between days of the grid: curves by days."""
        after = np.clip(np.searchsorted(self.days, days), 1, len(self.days) - 1)
        part = (days - self.days[after - 1]) / (self.days[after] - self.days[after - 1])
        before = self.table[:, after - 1]
        return np.asarray(before + part * (self.table[:, after] - before))

    def by_sex(self) -> list[tuple[float, Array]]:
        """Share of each sex in the batch, with its lengths on every day of the grid: curves by days."""
        parts = self.prior.parts
        return [(part.share, lengths(self.model, part.logs + self.points, self.ages)) for part in parts]

    def quantiles(self, days: Array, levels: tuple[float, ...]) -> Array:
        """Quantiles of the batch's mean length: levels by days, straight between days of the grid."""
        first, last = np.searchsorted(self.days, days[[0, -1]])
        first, last = max(int(first) - 1, 0), int(last) + 1
        rows = quantiles(self.table[:, first:last], self.weights, levels)
        return np.stack([np.interp(days, self.days[first:last], row) for row in rows])

    def days_to(self, length_mm: float) -> Array:
        """Days after birth at which each curve reaches a length; NEVER where it does not."""
        return crossings(self.table, self.days, length_mm)


def measured(mode: Mode, clock: Clock) -> Posterior:
    """Spread 320 weighted curves about the likeliest one, each with a clock of its own.

    Laplace's normal approximation places the curves, and the true density weighs them. Given a curve, the
    days its clock is ahead are normal: their mean on each day follows from what the checks miss the curve
    by, and each curve has one standard normal deviate for how far it lies from that mean on all days.
    """
    prior, met, age = mode.prior, mode.met, clock.at(grid(len(clock.ages) - 1))
    found = _cloud(mode)
    points, deviates = found.points[:, :3], found.points[:, 3:]
    reach = met.whiten @ (met.rates[:, None] * clock_covariance(mode.seen.ages, age))
    ahead = met.missed(prior, points) @ met.whiten.T @ reach
    left = np.sqrt(np.maximum(clock_variance(age) - (reach**2).sum(axis=0), 0.0))
    ages = _forward(age + ahead + deviates * left)
    return Posterior(
        prior,
        clock,
        points,
        found.weights,
        ages,
        prior.lengths(points, ages),
        mode.parameters,
        mode.seen.fish_cv,
        mode.shares,
        mode.summary,
    )


def unmeasured(prior: Prior, clock: Clock) -> Posterior:
    """Return what is expected of a brood that was never measured."""
    points, ages = _expected(prior, clock.at(grid(len(clock.ages) - 1)))
    weights = np.full(len(points), 1 / len(points))
    return Posterior(prior, clock, points, weights, ages, prior.lengths(points, ages), prior.mean)


def expected_lengths(prior: Prior, age: float) -> Array:
    """Return mean lengths of broods never measured, at one thermal age, equally likely each."""
    return prior.lengths(*_expected(prior, np.array([age])))[:, 0]


@cache
def grid(last: int) -> Array:
    """Days on which curves are reckoned: weekly at first, ever more seldom as growth slows."""
    parts, first = [], 0
    for until, step in (*SPACING, (last, 56)):
        parts.append(np.arange(first, min(until, last), step, dtype=float))
        first = until
    days = np.concatenate([*parts, [float(last)]])
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


def _expected(prior: Prior, age: Array) -> tuple[Array, Array]:
    """Curves of broods never measured, and the ages their own clocks show."""
    nodes = normal_nodes(4, PAIRS)
    points = prior.mean + nodes[:, :3] @ np.linalg.cholesky(prior.covariance).T
    return points, _forward(age + nodes[:, 3:] * np.sqrt(clock_variance(age)))


def _forward(ages: Array) -> Array:
    """Let no clock run backwards: fish don't shrink."""
    return np.maximum.accumulate(np.maximum(ages, 0.0, out=ages), axis=1, out=ages)


def _cloud(mode: Mode) -> Cloud:
    prior, met = mode.prior, mode.met
    tight = np.linalg.inv(prior.covariance)

    def log_density(points: Array) -> Array:
        apart, deviates = points[:, :3] - prior.mean, points[:, 3:]
        missed = met.missed(prior, points[:, :3]) @ met.whiten.T
        squares = ((apart @ tight) * apart).sum(axis=1) + (missed**2).sum(axis=1)
        return np.asarray(-0.5 * (squares + (deviates**2).sum(axis=1)))

    covariance = np.eye(4)
    covariance[:3, :3] = mode.covariance
    return cloud(log_density, np.append(mode.parameters, 0.0), covariance, PAIRS)
