"""The drops after the next one, and how stored sperm lets them down."""

from dataclasses import dataclass
from datetime import date

import numpy as np
from scipy.special import ndtr

from app.core.births.calendar import Dated
from app.core.births.evidence import Arrived, BirthEvidence, Exposed
from app.core.births.fertility import WITH_MALES, stored
from app.core.births.learning import SKIP, Learned, drift
from app.core.thermal import Days, clock_rate_at
from app.core.windows import Window

AHEAD = 3  # drops shown after the next
WORTH_SHOWING = 0.05  # a later drop less likely than this is left out


@dataclass(frozen=True, slots=True)
class Later:
    """80 % windows of the later drops, and the chance of each."""

    windows: tuple[Window, ...]
    chances: tuple[float, ...]


NO_LATER = Later((), ())


def later_drops(told: BirthEvidence, learned: Learned, dated: Dated, p: float, usual_c: float) -> Later:
    """Convolve the next drop with one, two and three intervals at the tank's usual temperature."""
    first = np.diff(dated.cdf, prepend=0.0)
    chances = [c for c in _chances(told, learned, dated, p, usual_c) if c >= WORTH_SHOWING]
    windows = []
    for ahead in range(1, len(chances) + 1):
        cdf = np.cumsum(np.convolve(first, _further(told, learned, ahead, usual_c)))
        windows.append(Dated(told.today, cdf / cdf[-1], 1.0).window(0.8))
    return Later(tuple(windows), tuple(chances))


def _further(told: BirthEvidence, learned: Learned, ahead: int, usual_c: float) -> Days:
    """Return the chance of each number of days from the next drop to the one ``ahead`` after it.

    The sum of ``ahead`` intervals is normal: mean level plus drift; variance n·noise + the moves
    of the level + ((n + 1)² - 1)·P, P being the variance of her level, which the wait for the next
    drop shares. One skipped cycle among them adds a level, with chance 0.02 each.
    """
    level, variance = learned.at(usual_c)
    number = told.interval_number
    steps = (
        sum(drift(told.species, number + i) - drift(told.species, number) for i in range(1, ahead + 1))
        if number
        else 0.0
    )
    mean = ahead * level + steps
    moves = learned.step * ahead * (ahead + 1) * (2 * ahead + 1) / 6
    sd = (ahead * learned.noise + moves + ((ahead + 1) ** 2 - 1) * variance) ** 0.5
    rate = clock_rate_at(usual_c)
    days = np.arange(int((mean + level + 4 * sd) / rate) + 2)
    thermal = (days + 0.5) * rate
    skipped = ahead * SKIP
    cdf = (1 - skipped) * ndtr((thermal - mean) / sd) + skipped * ndtr((thermal - mean - level) / sd)
    return np.diff(cdf, prepend=0.0)


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


def _chances(told: BirthEvidence, learned: Learned, dated: Dated, p: float, usual_c: float) -> list[float]:
    """Return the chances of the drops after the next.

    With males, 0.95 a cycle; alone, in proportion to the fertility of her stored sperm.
    """
    left = males_left(told)
    if left is None:
        return [p * WITH_MALES**ahead for ahead in range(1, AHEAD + 1)]
    interval = learned.belief.a / clock_rate_at(usual_c)
    alone = (dated.day(0.5) - left).days
    now = max(stored(told.species, alone - interval), 0.01)
    return [p * min(stored(told.species, alone + ahead * interval) / now, 1.0) for ahead in range(AHEAD)]
