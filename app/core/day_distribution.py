"""A date that is not sure: its probability day by day, and how such dates combine."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from app.core.windows import Window

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class DayDistribution:
    """Probability of each day from ``first`` on; what is missing to 1 is the chance of never."""

    first: date
    mass: tuple[float, ...]

    @classmethod
    def sure(cls, day: date) -> "DayDistribution":
        """Return a date that is certain."""
        return cls(day, (1.0,))

    @classmethod
    def from_cdf(cls, first: date, cdf: Array) -> "DayDistribution":
        """Build from P(on or before the day), for each day from ``first`` on."""
        rising = np.clip(np.maximum.accumulate(cdf), 0.0, 1.0)
        return cls(first, tuple(float(p) for p in np.diff(rising, prepend=0.0)))

    @property
    def last(self) -> date:
        """The last day that has any probability written down."""
        return self.first + timedelta(days=len(self.mass) - 1)

    @property
    def never(self) -> float:
        """Return the chance that it does not happen."""
        return max(0.0, 1.0 - sum(self.mass))

    @property
    def mean_days(self) -> float:
        """Mean number of days after ``first``, if it happens at all."""
        weights = np.array(self.mass)
        return float(np.arange(len(weights)) @ weights / weights.sum())

    def by(self, day: date) -> float:
        """P(on or before ``day``)."""
        return float(sum(self.mass[: max(0, (day - self.first).days + 1)]))

    def quantile(self, level: float) -> date | None:
        """Return the first day by which it has happened with that probability, or None for never."""
        passed = np.cumsum(self.mass)
        at = int(np.searchsorted(passed, level - 1e-12))
        return self.first + timedelta(days=at) if at < len(passed) else None

    def window(self, level: float = 0.8) -> Window | None:
        """Return the central interval, or None where its end may never come."""
        start, end = self.quantile((1 - level) / 2), self.quantile((1 + level) / 2)
        return Window(start, end, level) if start and end else None

    def shifted(self, days: int) -> "DayDistribution":
        """Return the same date ``days`` later."""
        return DayDistribution(self.first + timedelta(days=days), self.mass)

    def not_before(self, day: date) -> "DayDistribution":
        """Return the later of this and a fixed day."""
        early = (day - self.first).days
        if early <= 0:
            return self
        gathered = sum(self.mass[: early + 1])
        return DayDistribution(day, (gathered, *self.mass[early + 1 :]))

    def plus(self, days: Sequence[float]) -> "DayDistribution":
        """Add a duration: ``days[i]`` is the probability that it lasts ``i`` days."""
        total = np.convolve(np.array(self.mass), np.array(days))
        return DayDistribution(self.first, tuple(float(p) for p in total))

    def cdf(self, first: date, days: int) -> Array:
        """P(on or before) for ``days`` days from ``first`` on."""
        passed = np.concatenate([[0.0], np.cumsum(self.mass)])
        at = np.arange(days) + (first - self.first).days + 1
        return np.asarray(passed[np.clip(at, 0, len(passed) - 1)])


def latest(dates: Sequence[DayDistribution]) -> DayDistribution:
    """Return when the last of several independent dates has come."""
    first = max(d.first for d in dates)
    days = max(1, (max(d.last for d in dates) - first).days + 1)
    together = np.prod(np.stack([d.cdf(first, days) for d in dates]), axis=0)
    return DayDistribution.from_cdf(first, together)
