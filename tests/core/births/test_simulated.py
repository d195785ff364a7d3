"""Windows and chances kept to their word on thousands of simulated dams."""

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np
import pytest

from app.core.births import Arrived, BirthForecast, LastDrop, forecast_birth
from app.core.stats.distributions import randomised
from tests.core.births.build import MAY, day, dropped
from tests.core.births.simulated import dams, later

pytestmark = pytest.mark.slow
Scored = tuple[BirthForecast, date]


def pits(scored: Sequence[Scored], seed: int) -> np.ndarray:
    """Return randomised PIT values on the whole-day cdf."""
    rng = np.random.default_rng(seed)
    return np.array([randomised(*_step(f, day), rng.random()) for f, day in scored])


def _step(f: BirthForecast, outcome: date) -> tuple[float, float]:
    cdf = dict(f.cdf)
    beyond = 1.0 if outcome > f.cdf[-1][0] else 0.0
    return cdf.get(outcome - timedelta(1), beyond), cdf.get(outcome, beyond)


def within(values: np.ndarray, level: float) -> float:
    return float(np.mean(np.abs(values - 0.5) <= level / 2))


@pytest.fixture(scope="module")
def scored() -> list[Scored]:
    return [(forecast_birth(one.evidence), one.outcome) for one in dams(11, 1300)]


def test_80_percent_windows_hold_four_in_five(scored: list[Scored]) -> None:
    assert 0.77 <= within(pits(scored, 1), 0.8) <= 0.83


def test_other_levels_hold_as_well(scored: list[Scored]) -> None:
    values = pits(scored, 2)
    assert within(values, 0.5) == pytest.approx(0.5, abs=0.04)
    assert within(values, 0.95) == pytest.approx(0.94, abs=0.025)


def test_neither_side_is_favoured(scored: list[Scored]) -> None:
    values = pits(scored, 3)
    assert np.mean(values < 0.5) == pytest.approx(0.5, abs=0.03)


@pytest.mark.parametrize(("low", "high"), [(0, 0), (1, 2), (3, 7)])
def test_windows_hold_with_little_and_with_much_history(scored: list[Scored], low: int, high: int) -> None:
    histories = [len(one.evidence.history) for one in dams(11, 1300)]
    kept = [s for s, n in zip(scored, histories, strict=True) if low <= n <= high]
    assert 0.74 <= within(pits(kept, 4), 0.8) <= 0.84


def test_printed_windows_hold_a_little_more(scored: list[Scored]) -> None:
    held = [f.window_80.holds(outcome) for f, outcome in scored if f.window_80]
    assert 0.79 <= np.mean(held) <= 0.88


def test_windows_hold_while_waiting() -> None:
    rng = np.random.default_rng(12)
    waiting = []
    for one in dams(12, 900, key="southern_platy"):
        today = one.evidence.today + timedelta(int(rng.integers(1, 40)))
        if today <= one.outcome:
            waiting.append((forecast_birth(later(one, today)), one.outcome))
    assert 0.77 <= within(pits(waiting, 5), 0.8) <= 0.83


def test_errors_are_far_below_the_fixed_rule_once_three_intervals_are_known(scored: list[Scored]) -> None:
    known = [
        (f, one) for (f, _), one in zip(scored, dams(11, 1300), strict=True) if len(one.evidence.history) >= 3
    ]
    usual = [(f, one) for f, one in known if one.days < 40]  # skipped cycles aside
    ours = np.mean([abs((f.median - one.outcome).days) for f, one in usual if f.median])
    rule = np.mean([abs(one.days - one.evidence.species.interval_days) for _, one in usual])
    assert ours < 0.65 * rule  # 1.6 days is the floor: mean absolute value of the cycle's own noise


def test_the_chance_of_carrying_is_calibrated_in_ten_bins() -> None:
    rng = np.random.default_rng(13)
    chances, truth = [], []
    for _ in range(9000):
        carrying, outcome, told_on = _bought_or_dropped(rng)
        today = int(rng.integers(0, 75))
        if carrying and outcome < today:
            continue  # she has dropped: nothing is left to ask
        chances.append(forecast_birth(dropped(today=today, start=told_on)).p_carrying)
        truth.append(carrying)
    p, y = np.array(chances), np.array(truth, dtype=float)
    bins = np.minimum((p * 10).astype(int), 9)
    counts = np.bincount(bins, minlength=10)
    assert np.all(counts > 20)
    for b in range(10):
        of = bins == b
        slack = 3.5 * (p[of].mean() * (1 - p[of].mean()) / counts[b]) ** 0.5 + 0.02
        assert y[of].mean() == pytest.approx(p[of].mean(), abs=slack), b


def _bought_or_dropped(rng: np.random.Generator) -> tuple[bool, int, Arrived | LastDrop]:
    """Draw a dam at 25 °C: whether she carries, the day of her drop, and what is known of her."""
    habit = 26 + rng.normal(0, 2) + rng.normal(0, 2.1)
    cycles = 1 + int(rng.random() < 0.02)
    whole = cycles * (habit + rng.normal(0, 2))
    kind = int(rng.integers(0, 4))
    if kind == 3:
        return bool(rng.random() < 0.95), round(whole), LastDrop(MAY, MAY)
    with_males = (True, None, False)[kind]
    chance = (0.9, 0.6, 0.1)[kind]
    # long intervals are met more often: take one with chance in proportion to its length
    while rng.random() > whole / 80:
        cycles = 1 + int(rng.random() < 0.02)
        whole = cycles * (habit + rng.normal(0, 2))
    return bool(rng.random() < chance), int(rng.uniform(0, 1) * whole), Arrived(day(0), with_males)
