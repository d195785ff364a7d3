"""The drops after the next one, and how stored sperm lets them down."""

from dataclasses import dataclass
from datetime import date

import numpy as np

from app.core.births.calendar import Dated
from app.core.births.evidence import Arrived, BirthEvidence, Exposed
from app.core.births.fertility import WITH_MALES, stored
from app.core.births.learning import SKIP, Learned, drift
from app.core.normal import below
from app.core.thermal import Days, clock_rate_at
from app.core.windows import Window

AHEAD = 3  # drops shown after the next
WORTH_SHOWING = 0.05  # a later drop less likely than this is left out


@dataclass(frozen=True, slots=True)
class Later:
    """80 % windows of the later drops, and the chance of each."""

    windows: tuple[Window, ...]
    chances: tuple[float, ...]


_TINY = 1e-4  # chances at either end that do not move a window
NO_LATER = Later((), ())


def later_drops(told: BirthEvidence, learned: Learned, dated: Dated, p: float) -> Later:
    """Convolve the next drop with one, two and three intervals at the tank's usual temperature."""
    chances = [c for c in _chances(told, learned, dated, p) if c >= WORTH_SHOWING]
    begin, end = dated.cdf.searchsorted((_TINY, 1 - _TINY)).tolist()
    first, today = _daily(dated.cdf[begin : end + 1]), told.today.toordinal()
    windows = []
    for from_day, further in _further(told, learned)[: len(chances)]:
        cdf = np.convolve(first, further).cumsum()
        ends = cdf.searchsorted((0.1 * cdf[-1], 0.9 * cdf[-1])) + (today + begin + from_day)
        start, end = map(date.fromordinal, ends.tolist())
        windows.append(Window(start, end, 0.8))
    return Later(tuple(windows), tuple(chances))


def _further(told: BirthEvidence, learned: Learned) -> list[tuple[int, Days]]:
    """Return, for n = 1, 2, 3, how the days from the next drop to the nth after it are spread.

    The sum of n intervals is normal: mean n·level plus drift; variance n·noise, plus the moves of
    the level, plus ((n + 1)² - 1)·P, P being the variance of her level, which the wait for the next
    drop shares. One skipped cycle among them adds a level, with chance 0.02 each. Each row starts
    on the day named beside it, 4 SD before the mean.
    """
    level, variance = learned.at(told.usual_c)
    rate = clock_rate_at(told.usual_c)
    cycle, mean, begins, scores = round(level / rate), 0.0, [], []
    for n, longer in enumerate(_drifts(told), start=1):
        mean += level + longer
        moves = learned.step * n * (n + 1) * (2 * n + 1) / 6
        sd = (n * learned.noise + moves + ((n + 1) ** 2 - 1) * variance) ** 0.5
        begins.append(max(int((mean - 4 * sd) / rate), 0))
        days = np.arange(begins[-1], int((mean + 4 * sd) / rate) + 2)
        scores.append(((days + 0.5) * rate - mean) / sd)
    cdf, rows, at = below(np.concatenate(scores)), [], 0  # all at once, as each call costs more than it does
    for n, (begin, row) in enumerate(zip(begins, scores, strict=True), start=1):
        rows.append((begin, _with_skip(_daily(cdf[at : at + row.size]), cycle, n * SKIP)))
        at += row.size
    return rows


def _with_skip(usual: Days, cycle: int, chance: float) -> Days:
    """Return daily probabilities that come a cycle later with a chance."""
    daily = np.zeros(usual.size + cycle)
    daily[: usual.size] = (1 - chance) * usual
    daily[cycle:] += chance * usual
    return daily


def _drifts(told: BirthEvidence) -> list[float]:
    """Return how much longer each of the later intervals is than the running one."""
    number = told.interval_number
    if number is None:
        return [0.0] * AHEAD
    now = drift(told.species, number)
    return [drift(told.species, number + ahead) - now for ahead in range(1, AHEAD + 1)]


def _daily(cdf: Days) -> Days:
    """Return the probability of each day from P(on or before the day)."""
    daily = cdf.copy()
    daily[1:] -= cdf[:-1]
    return daily


def males_left(told: BirthEvidence) -> date | None:
    """Return the day from which her sperm is stored only; None while males are with her."""
    if told.males_until is not None:
        return told.males_until
    match told.start:
        case Exposed(end=end):
            return end
        case Arrived(on=on):
            return on
        case _:
            return None


def _chances(told: BirthEvidence, learned: Learned, dated: Dated, p: float) -> list[float]:
    """Return the chances of the drops after the next.

    With males, 0.95 a cycle; alone, in proportion to the fertility of her stored sperm.
    """
    left = males_left(told)
    if left is None:
        return [p * WITH_MALES**ahead for ahead in range(1, AHEAD + 1)]
    interval = learned.belief.a / clock_rate_at(told.usual_c)
    alone = (dated.day(0.5) - left).days
    now = max(stored(told.species, alone - interval), 0.01)
    return [p * min(stored(told.species, alone + ahead * interval) / now, 1.0) for ahead in range(AHEAD)]
