"""Forecasts of numbers hold what they promise where losses come in clumps, as they do in tanks."""

from datetime import date, timedelta

import numpy as np
import pytest

from app.core.batches import Event, count, start
from app.core.survival import _days, _log_mass, _matched, _weighed

MAY = date(2026, 5, 1)
WEEKS, AHEAD = 4, 4


def chances(clumping: float, batches: int) -> np.ndarray:
    """Randomised chance of no more alive than there truly were, four weeks ahead (uniform if honest).

    Daily losses about half a per cent, differing by batch; with ``clumping``, each week's rate is
    multiplied by a gamma of mean 1 and that variance.
    """
    rng = np.random.default_rng(1)
    found = []
    for _ in range(batches):
        rate = float(np.exp(rng.normal(np.log(0.005), 0.8)))
        numbers = [int(rng.integers(10, 60))]
        for _ in range(WEEKS + AHEAD):
            worse = rng.gamma(1 / clumping) * clumping if clumping else 1.0
            numbers.append(int(rng.binomial(numbers[-1], np.exp(-7 * rate * worse))))
        known, truth = numbers[: WEEKS + 1], numbers[-1]
        if known[-1]:
            found.append(_chance(known, truth, float(rng.random())))
    return np.array(found)


def _chance(known: list[int], truth: int, between: float) -> float:
    counted = [count(MAY + timedelta(weeks=w), n) for w, n in enumerate(known) if w]
    book: list[Event] = [start(MAY, known[0]), *counted]
    lived, died = _weighed(_days(book), MAY + timedelta(weeks=WEEKS))
    mass = np.exp(_log_mass(known[-1], *_matched(lived, died, 7 * AHEAD)))
    return float(mass[:truth].sum() + between * mass[truth])


@pytest.mark.slow
def test_windows_hold_about_eighty_percent_where_losses_clump() -> None:
    drawn = chances(1.0, 1_200)
    assert 0.74 <= np.mean((drawn > 0.1) & (drawn < 0.9)) <= 0.84


@pytest.mark.slow
def test_windows_are_wide_rather_than_narrow_where_losses_are_steady() -> None:
    drawn = chances(0.0, 1_200)
    assert 0.80 <= np.mean((drawn > 0.1) & (drawn < 0.9)) <= 0.93
