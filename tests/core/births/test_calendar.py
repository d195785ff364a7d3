"""From thermal days to dates: whole days, windows, and what has not happened yet."""

from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from app.core.births import BirthEvidence, LastDrop
from app.core.births.calendar import Dated, Timeline, dated, timeline
from app.core.births.learning import learn
from app.core.births.waits import Wait, first_brood
from app.core.thermal import TemperatureLog
from tests.core.births.build import MAY, day, dropped, logged

TEN = first_brood(10, 2)
WAIT = first_brood(26, 4)


def put(told: BirthEvidence, wait: Wait = TEN) -> Dated:
    tank = told.temperature or TemperatureLog.constant(25)
    found = dated(told, wait, timeline(told, learn(told), tank))
    assert found is not None
    return found


def test_a_day_counts_to_its_end() -> None:
    # at 25 °C a thermal day is a day; day d holds waits up to d + 1/2
    assert put(dropped()).cdf[:20] == pytest.approx(stats.norm(10, 2).cdf(np.arange(20) + 0.5))


def test_nothing_so_far_conditions_on_today_or_later() -> None:
    free, late = put(dropped()), put(dropped(today=9))
    gone = free.cdf[8]
    assert late.survived == pytest.approx(1 - gone)
    assert late.cdf[:5] == pytest.approx((free.cdf[9:14] - gone) / (1 - gone))
    assert late.cdf[0] > 0  # she may still drop today


def test_quantiles_are_the_first_day_that_reaches_them() -> None:
    made = Dated(MAY, np.array([0.05, 0.1, 0.5, 0.9, 1.0]), 1.0)
    assert [made.day(p) for p in (0.1, 0.11, 0.5, 0.9, 0.95)] == [day(d) for d in (1, 2, 2, 3, 4)]
    window = made.window(0.8)
    assert (window.start, window.end, window.level) == (day(1), day(3), 0.8)


def test_rows_end_near_certainty() -> None:
    rows = put(dropped()).rows()
    assert rows[0][0] == MAY
    assert rows[0][1] == pytest.approx(stats.norm(10, 2).cdf(0.5))
    assert rows[-1][1] >= 0.999 > rows[-2][1]


def test_a_drop_between_two_dates_is_averaged_over_its_days() -> None:
    told = dropped(today=4, start=LastDrop(MAY, day(4)))
    cdf = np.mean([stats.norm(10, 2).cdf(np.arange(60) + 0.5 - begun) for begun in range(5)], axis=0)
    expected = (cdf[4:30] - cdf[3]) / (1 - cdf[3])
    assert put(told).cdf[:26] == pytest.approx(expected)


def test_a_month_of_possible_dates_is_thinned_without_harm() -> None:
    told = dropped(today=30, start=LastDrop(MAY, day(30)))
    cdf = np.mean([stats.norm(40, 4).cdf(np.arange(90) + 0.5 - begun) for begun in range(31)], axis=0)
    expected = (cdf[30:80] - cdf[29]) / (1 - cdf[29])
    assert put(told, first_brood(40, 4)).cdf[:50] == pytest.approx(expected, abs=0.002)


def test_a_warm_week_moves_the_dates() -> None:
    warm = dropped(today=7, temperature=logged([30] * 8))
    cool = dropped(today=7, temperature=logged([20] * 8))
    assert put(warm).day(0.5) < put(dropped(today=7)).day(0.5) < put(cool).day(0.5)


def test_beyond_all_hope_there_are_no_dates() -> None:
    told = dropped(today=40)
    assert dated(told, TEN, timeline(told, learn(told), TemperatureLog.constant(25))) is None


def test_a_swinging_tank_leaves_the_days_ahead_in_doubt() -> None:
    # ln 1.48 / 10 · 0.7 · 1 °C · 26 days = 0.71 days
    assert Timeline(MAY, 0, np.full(9, 25.0), swing_c=1).doubt(26) == pytest.approx(0.71**2, rel=0.01)
    assert Timeline(MAY, 26, np.full(9, 25.0), swing_c=1).doubt(26) == 0


def test_the_mean_temperature_is_that_of_the_wait() -> None:
    assert Timeline(MAY, 0, np.array([20.0, 30.0, 40.0])).mean_c(2) == 25


@given(st.integers(-4000, 4000), st.lists(st.floats(19, 30), min_size=1, max_size=30), st.integers(0, 25))
def test_shifting_all_dates_shifts_the_answer(by: int, celsius: list[float], today: int) -> None:
    here = put(dropped(today=today, temperature=logged(celsius)), WAIT)
    moved = day(by)
    there = put(
        BirthEvidence(
            dropped().species,
            date.fromordinal(moved.toordinal() + today),
            LastDrop(moved, moved),
            temperature=logged(celsius, first=by),
        ),
        WAIT,
    )
    assert there.cdf == pytest.approx(here.cdf)
