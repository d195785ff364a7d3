"""A brood's growth curve after its length checks: a cloud of weighted curves, found without chance."""

from dataclasses import dataclass, field
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

from app.core.growth.clock import Clock
from app.core.growth.curves import Model, lengths
from app.core.growth.given import Strays, strays
from app.core.growth.mode import Mode
from app.core.growth.priors import FISH_CV, LikelihoodSummary, Prior
from app.core.growth.wandering import clock_variance
from app.core.stats.fitting import Cloud, cloud, normal_nodes, quantiles

Array = NDArray[np.float64]

NEVER = 1e9
"""Stands for a length that is never reached, in days."""

SPACING = ((140, 7), (364, 14), (728, 28))
"""Days between which curves are drawn straight, by age: weekly when young, then wider; 56 at last."""

PAIRS, EXPECTED_PAIRS = 128, 160
"""Half the number of curves that stand for a measured brood, each of which costs more, and for any brood."""


@dataclass(frozen=True, slots=True, eq=False)
class Posterior:
    """A brood's curves with their weights, and what its checks alone said (for later broods).

    ``ages`` has the age each curve's own clock shows on each day of :func:`grid`, ``table`` its length
    then; ``middle`` and ``spread`` the mean and SD of what the clock may show, given the curve; ``shares``
    the part each check has in it; ``summary`` what the checks said apart from the prior.
    """

    prior: Prior
    clock: Clock
    points: Array = field(repr=False)
    weights: Array = field(repr=False)
    ages: Array = field(repr=False)
    table: Array = field(repr=False)
    middle: Array = field(repr=False)
    spread: Array = field(repr=False)
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

    def dates_to(self, length_mm: float, levels: tuple[float, ...]) -> Array:
        """Quantiles of the days to a length, NEVER beyond the clock's last.

        Curve by curve the chance to be that long by a day is normal in the age its clock must show, so
        that only the curves are summed over. Its normal score is read between days of the grid by the
        parabola through the nearest three, with age in place of days, whose pace jumps with the water's.
        The cloud tells about which days to look.
        """
        reached = self.days_to(length_mm)
        order, around = np.argsort(reached), (min(levels) / 4, 1 - (1 - max(levels)) / 4)
        mass = self.weights[order]
        ends = np.interp(around, np.cumsum(mass) - mass / 2, reached[order])
        first, last = np.searchsorted(self.days, np.minimum(ends, self.days[-1]))
        some = slice(max(int(first) - 1, 0), int(last) + 2)
        needed = self.prior.age_at(self.points, length_mm, self._shown(reached))
        scores = self._scores(needed, some)
        age = self.clock.at(self.days[some])
        found = [_between(age, scores, float(ndtri(level))) for level in levels]
        return np.array([NEVER if at is None else float(self.clock.days(at)) for at in found])

    def chance_long(self, length_mm: float, share: float) -> Array:
        """Chance that a share of the fish is that long, on each day of the clock.

        Summed over clocks curve by curve, as in :meth:`dates_to`; the normal score is read straight between
        days of the grid by the log of age, which leaves a tenth of a day.
        """
        long = sum(part * ndtr(np.log(mm / length_mm) / self.fish_cv) for part, mm in self.by_sex())
        near = self._shown(crossings(np.asarray(long), self.days, share))
        needed = self.prior.age_of_share(self.points, length_mm, share, self.fish_cv, near)
        scores = self._scores(needed, slice(None))
        return np.asarray(
            ndtr(np.interp(np.log1p(self.clock.ages), np.log1p(self.clock.at(self.days)), scores))
        )

    def _scores(self, needed: Array, some: slice) -> Array:
        """Return normal scores, on days of the grid, of the chance that clocks show the ages needed."""
        chance = self.weights @ ndtr((self.middle[..., some] - needed[:, None]) / self.spread[..., some])
        return np.asarray(ndtri(np.maximum.accumulate(np.clip(chance, 1e-12, 1 - 1e-12))))

    def _shown(self, days: Array) -> Array:
        """Age each curve's own clock shows on its own day, at most the last."""
        days = np.minimum(days, self.days[-1])
        after = np.maximum(np.searchsorted(self.days, days), 1)
        part = (days - self.days[after - 1]) / (self.days[after] - self.days[after - 1])
        before, then = (self.ages[np.arange(len(days)), at] for at in (after - 1, after))
        return np.asarray(before + part * (then - before))


def measured(mode: Mode, clock: Clock) -> Posterior:
    """Spread 256 weighted curves about the likeliest one, each with a clock of its own.

    Laplace's normal approximation places the curves; their own density weighs them, with the wandering of
    the clock integrated out curve by curve. Given a curve, the days its clock is ahead are normal, and each
    curve has one standard normal deviate for how far it lies from their mean on all days.
    """
    prior = mode.prior
    found, given = _cloud(mode)
    points, deviates = found.points[:, :3], found.points[:, 3:]
    middle, spread = given.at(clock.at(grid(len(clock.ages) - 1)))
    ages = _forward(middle + deviates * spread)
    return Posterior(
        prior,
        clock,
        points,
        found.weights,
        ages,
        prior.lengths(points, ages),
        middle,
        spread,
        mode.parameters,
        mode.seen.fish_cv,
        mode.shares,
        mode.summary,
    )


def unmeasured(prior: Prior, clock: Clock) -> Posterior:
    """Return what is expected of a brood that was never measured."""
    age = clock.at(grid(len(clock.ages) - 1))
    points, ages = _expected(prior, age)
    weights, spread = np.full(len(points), 1 / len(points)), np.sqrt(clock_variance(age) + 1e-12)
    table = prior.lengths(points, ages)
    return Posterior(prior, clock, points, weights, ages, table, age, spread, prior.mean)


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
    nodes = normal_nodes(4, EXPECTED_PAIRS)
    points = prior.mean + nodes[:, :3] @ np.linalg.cholesky(prior.covariance).T
    return points, _forward(age + nodes[:, 3:] * np.sqrt(clock_variance(age)))


def _forward(ages: Array) -> Array:
    """Let no clock run backwards: fish don't shrink."""
    return np.maximum.accumulate(np.maximum(ages, 0.0, out=ages), axis=1, out=ages)


def _cloud(mode: Mode) -> tuple[Cloud, Strays]:
    """Weigh curves and deviates; return the clocks' strays at the checks beside them."""
    prior, tight = mode.prior, mode.prior.precision
    tried: list[tuple[Array, Strays]] = []

    def log_density(points: Array) -> Array:
        apart, deviates = points[:, :3] - prior.mean, points[:, 3]
        given = strays(prior, mode.seen, points[:, :3], mode.ahead(points[:, :3]))
        tried.append((points, given))
        return np.asarray(given.logs - 0.5 * (((apart @ tight) * apart).sum(axis=1) + deviates**2))

    covariance = np.eye(4)
    covariance[:3, :3] = mode.covariance
    found = cloud(log_density, np.append(mode.parameters, 0.0), covariance, PAIRS)
    return found, next(given for points, given in tried if points is found.points)


def _between(x: Array, y: Array, level: float) -> float | None:
    """Where rising y first reaches a level, by the parabola through the three nearest points."""
    after = int(np.searchsorted(y, level))
    if after == len(y):
        return None
    if after == 0:
        return float(x[0])
    third = after + 1 if after + 1 < len(y) else after - 2
    (x0, x1, x2), (y0, y1, y2) = x[[after - 1, after, third]], y[[after - 1, after, third]]
    line = x0 + (level - y0) * (x1 - x0) / (y1 - y0)
    if y2 in (y0, y1):
        return float(line)
    bent = ((x2 - x1) / (y2 - y1) - (x1 - x0) / (y1 - y0)) / (y2 - y0)
    return float(np.clip(line + bent * (level - y0) * (level - y1), x0, x1))
