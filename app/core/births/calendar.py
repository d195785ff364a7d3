"""From thermal days to dates: the chance of a drop on or before each day."""

from dataclasses import dataclass
from datetime import date

import numpy as np

from app.core.births.evidence import BirthEvidence, LastDrop, starts
from app.core.births.waits import Wait
from app.core.thermal import Days, TemperatureLog, clock_rate, clock_rate_at
from app.core.windows import Window

_MOST_STARTS = 15  # days of a "between two dates" drop that are tried
ENOUGH = 0.999  # the printed cdf ends here


@dataclass(frozen=True, slots=True)
class Dated:
    """P(drop on or before day) for days from ``today`` on, given no drop before today.

    ``survived`` is the chance that a carrying dam would have waited until today;
    ``overdue`` says that it was 2.5 % or less.
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
        return tuple((date.fromordinal(first + index), p) for index, p in enumerate(self.cdf[:last].tolist()))


def dated(told: BirthEvidence, wait: Wait, log: TemperatureLog) -> Dated | None:
    """Put a wait on the calendar, given that nothing came before today.

    P(T <= d) = F(θ(d) + rate(d) / 2): θ counts thermal days from the start, and the half day makes
    whole dates of it (a drop is found on a day, as the last one was). A start between two dates is
    averaged over its days. Then P(T <= d | T >= today).

    Returns
    -------
    Dated or None
        None when so long a wait has practically no chance (under one in a million).
    """
    origin = starts(told.start)[0]
    waited = (told.today - origin).days
    ahead = int(wait.most / clock_rate_at(log.set_point_c)) + 5
    cdf = wait.cdf(_passed(told, log, origin, waited + ahead))
    if cdf.ndim > 1:
        cdf = cdf.mean(axis=0)
    before = float(cdf[waited - 1]) if waited else 0.0
    survived = 1 - before
    if survived < 1e-6:
        return None
    return Dated(told.today, np.minimum((cdf[waited:] - before) / survived, 1.0), survived)


def _passed(told: BirthEvidence, log: TemperatureLog, origin: date, days: int) -> Days:
    """Return thermal days to the end of each day: one row, or one for each possible start."""
    rate = clock_rate(log.daily(origin, days))
    clock = np.zeros(days)
    np.cumsum((rate[1:] + rate[:-1]) / 2, out=clock[1:])
    ends = clock + rate / 2
    if not isinstance(told.start, LastDrop) or told.start.latest == origin:
        return np.asarray(ends)
    span = (told.start.latest - origin).days
    begun = np.linspace(0, span, min(span + 1, _MOST_STARTS)).round().astype(int)
    return np.asarray(ends - clock[begun, None])
