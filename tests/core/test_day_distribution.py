"""Dates that are not sure combine as probabilities do."""

from datetime import date, timedelta
from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.day_distribution import DayDistribution, latest
from app.core.windows import Window

MAY = date(2026, 5, 1)


def day(n: int) -> date:
    return MAY + timedelta(days=n)


MASSES = st.lists(st.integers(0, 9), min_size=1, max_size=6).filter(any)
DATES = st.builds(
    lambda first, weights, never: DayDistribution(
        day(first), tuple(w / (sum(weights) + never) for w in weights)
    ),
    st.integers(-5, 5),
    MASSES,
    st.integers(0, 3),
)


def test_a_sure_date_is_its_own_window() -> None:
    sure = DayDistribution.sure(day(3))
    assert (sure.quantile(0.01), sure.window(), sure.never) == (day(3), Window(day(3), day(3), 0.8), 0.0)


def test_quantiles_and_window_of_ten_even_days() -> None:
    even = DayDistribution(MAY, (0.1,) * 10)
    assert even.quantile(0.5) == day(4)
    assert even.window() == Window(day(0), day(8), 0.8)
    assert even.mean_days == pytest.approx(4.5)
    assert even.by(day(2)) == pytest.approx(0.3)
    assert even.by(day(-1)) == 0.0
    assert even.last == day(9)


def test_what_may_never_come_has_an_open_end() -> None:
    doubtful = DayDistribution(MAY, (0.3, 0.3))
    assert doubtful.never == pytest.approx(0.4)
    assert doubtful.quantile(0.5) == day(1)
    assert doubtful.quantile(0.9) is None
    assert doubtful.window() is None


def test_not_before_gathers_the_early_days() -> None:
    later = DayDistribution(MAY, (0.2, 0.3, 0.5)).not_before(day(1))
    assert later.first == day(1)
    assert later.mass == pytest.approx((0.5, 0.5))
    assert DayDistribution(MAY, (1.0,)).not_before(day(9)) == DayDistribution.sure(day(9))


def test_a_day_before_the_first_changes_nothing() -> None:
    some = DayDistribution(MAY, (0.2, 0.8))
    assert some.not_before(day(-3)) == some


def test_a_cdf_that_dips_is_straightened() -> None:
    assert DayDistribution.from_cdf(MAY, np.array([0.2, 0.1, 0.6])).mass == pytest.approx((0.2, 0.0, 0.4))


@given(DATES, MASSES)
def test_adding_a_duration_agrees_with_every_outcome(when: DayDistribution, weights: list[int]) -> None:
    lasts = [w / sum(weights) for w in weights]
    total = when.plus(lasts)
    for target in range(-6, 20):
        expected = sum(
            p * q
            for (i, p), (j, q) in product(enumerate(when.mass), enumerate(lasts))
            if when.first + timedelta(days=i + j) <= day(target)
        )
        assert total.by(day(target)) == pytest.approx(expected, abs=1e-12)


@given(st.lists(DATES, min_size=1, max_size=4))
def test_the_latest_of_several_agrees_with_their_product(dates: list[DayDistribution]) -> None:
    together = latest(dates)
    for target in range(-6, 16):
        expected = np.prod([d.by(day(target)) for d in dates])
        assert together.by(day(target)) == pytest.approx(expected, abs=1e-9)


@given(DATES, st.integers(-40, 40))
def test_shifting_moves_every_quantile(when: DayDistribution, by: int) -> None:
    for level in (0.1, 0.5, 0.9):
        here, there = when.quantile(level), when.shifted(by).quantile(level)
        assert there == (here and here + timedelta(days=by))


@given(DATES)
def test_wider_windows_hold_narrower_ones(when: DayDistribution) -> None:
    narrow, wide = when.window(0.5), when.window(0.95)
    if narrow and wide:
        assert wide.start <= narrow.start <= narrow.end <= wide.end
