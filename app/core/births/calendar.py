"""From thermal days to dates: the chance of a drop on or before each day."""

from dataclasses import dataclass
from datetime import date

import numpy as np

from app.core.births.evidence import BirthEvidence, LastDrop, starts
from app.core.births.learning import Learned
from app.core.births.waits import Wait
from app.core.thermal import LN_Q10, Days, TemperatureLog, clock_rate, clock_rate_at
from app.core.windows import Window

_MOST_STARTS = 15  # days of a "between two dates" drop that are tried
ENOUGH = 0.999  # the printed cdf ends here
LASTING = 0.7  # share of a tank's swings that does not even out over a wait; judgement
HOPELESS = 1e-6  # no dates once so few carrying dams would still be waiting


@dataclass(frozen=True, slots=True)
class Timeline:
    """The days of a wait: temperatures from its first day on, beyond any likely drop."""

    origin: date
    waited: int
    celsius: Days
    swing_c: float = 0.0

    def mean_c(self, days: float) -> float:
        """Return the mean temperature of the first ``days`` days."""
        return float(self.celsius[: max(int(days), 1)].mean())

    def doubt(self, level: float) -> float:
        """Return the variance that unknown coming temperatures add to a wait, thermal days squared.

        (ln Q10 / 10 · 0.7 · swing · days left)²: the swing is the SD of the readings, and 0.7 of it
        is taken to last over the days left (judgement).
        """
        left = max(level - self.waited, 0.0)
        return (LN_Q10 / 10 * LASTING * self.swing_c * left) ** 2


@dataclass(frozen=True, slots=True)
class Dated:
    """P(drop on or before day) for days from ``today`` on, given no drop before today.

    ``survived`` is the chance that a carrying dam would have waited until today.
    """

    today: date
    cdf: Days
    survived: float

    def day(self, level: float) -> date:
        """Return the first day by which the drop has come with at least that probability."""
        index = min(int(self.cdf.searchsorted(level)), self.cdf.size - 1)
        return date.fromordinal(self.today.toordinal() + index)

    def window(self, level: float) -> Window:
        """Return the central window of whole days that holds at least ``level``."""
        tail = (1 - level) / 2
        return Window(self.day(tail), self.day(1 - tail), level)

    def rows(self) -> tuple[tuple[date, float], ...]:
        """Return the cdf day by day, up to 0.999."""
        last = min(int(self.cdf.searchsorted(ENOUGH)) + 1, self.cdf.size)
        first = self.today.toordinal()
        days = map(date.fromordinal, range(first, first + last))
        return tuple(zip(days, self.cdf[:last].tolist(), strict=True))


def timeline(told: BirthEvidence, learned: Learned, log: TemperatureLog) -> Timeline:
    """Lay out the days from the start of the wait to two intervals and 8 SD beyond today."""
    origin = starts(told.start)[0]
    waited = (told.today - origin).days
    most = max(learned.belief.a, told.species.first_brood_days)
    spread = (learned.belief.var_a + learned.noise) ** 0.5
    ahead = int((2 * most + 8 * spread) / clock_rate_at(log.set_point_c)) + 5
    return Timeline(origin, waited, log.daily(origin, waited + ahead), log.swing_c)


def dated(told: BirthEvidence, wait: Wait, days: Timeline) -> Dated | None:
    """Put a wait on the calendar, given that nothing came before today.

    P(T <= d) = F(θ(d) + rate(d) / 2): θ counts thermal days from the start, and the half day makes
    whole dates of it (a drop is found on a day, as the last one was). A start between two dates is
    averaged over its days. Then P(T <= d | T >= today).

    Returns
    -------
    Dated or None
        None when so long a wait has practically no chance (under one in a million).
    """
    passed = _passed(told, days)
    cdf = wait.cdf(passed.ravel())
    if len(passed) > 1:
        cdf = cdf.reshape(passed.shape).mean(axis=0)
    before = float(cdf[days.waited - 1]) if days.waited else 0.0
    survived = 1 - before
    if survived < HOPELESS:
        return None
    return Dated(told.today, (cdf[days.waited :] - before) / survived, survived)


def _passed(told: BirthEvidence, days: Timeline) -> Days:
    """Return thermal days to the end of each day: one row for each possible start."""
    rate = clock_rate(days.celsius)
    ends: Days = np.cumsum(rate) - rate[0] / 2
    if not isinstance(told.start, LastDrop) or told.start.latest == days.origin:
        return ends.reshape(1, -1)
    span = (told.start.latest - days.origin).days + 1
    tried = min(span, _MOST_STARTS)
    begun = (np.arange(tried) + 0.5) * span / tried - 0.5
    return ends - np.interp(begun, np.arange(ends.size), ends - rate / 2)[:, None]
