"""Leading a whole tank over: by mass balance, within every limit, until it is as good as the new water."""

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.problems import Problem
from app.core.water.acclimation import Limits, WaterState
from app.core.water.acclimation_changes import MOST_SHARE, NEAR, by_changes

START = date(2026, 6, 15)
levels = st.floats(min_value=0, max_value=15)


def test_from_five_grams_to_fresh_water_by_hand() -> None:
    steps = by_changes(WaterState(5.0), WaterState(0.0), Limits(), START)
    held = [step.water.salinity_g_per_l for step in steps]
    # 30 % of 5 is 1.5; 43 % of 3.5 is 1.5; then half each day: 2 → 1 → 0.5 → 0.25 → 0.125 → 0.0625
    assert held == pytest.approx([3.5, 2.0, 1.0, 0.5, 0.25, 0.125, 0.0625])
    assert [step.share for step in steps[:3]] == pytest.approx([0.3, 3 / 7, 0.5])
    assert [step.day for step in steps] == [START + timedelta(days=n) for n in range(7)]


@given(levels, levels, levels, levels)
def test_no_day_moves_a_level_by_more_than_its_limit(salt: float, gh: float, to: float, hard: float) -> None:
    limits = Limits()
    steps = by_changes(WaterState(salt, gh), WaterState(to, hard), limits, START)
    waters = [WaterState(salt, gh), *(step.water for step in steps)]
    for before, after in pairwise(waters):
        for name in NEAR:
            assert abs(getattr(after, name) - getattr(before, name)) <= getattr(limits, name) + 1e-9
    assert all(0 < step.share <= MOST_SHARE for step in steps)
    assert abs(getattr(waters[-1], "salinity_g_per_l") - to) <= NEAR["salinity_g_per_l"]  # noqa: B009
    assert abs(getattr(waters[-1], "gh_dh") - hard) <= NEAR["gh_dh"]  # noqa: B009


def test_alike_waters_need_no_change() -> None:
    assert by_changes(WaterState(0.0, 8.0), WaterState(0.05, 8.5), Limits(), START) == ()


def test_what_is_not_known_of_both_is_left_out_or_refused() -> None:
    steps = by_changes(WaterState(2.0, None), WaterState(0.0, 8.0), Limits(), START)
    assert steps[-1].water.gh_dh is None
    with pytest.raises(Problem, match="nothing is known of both waters"):
        by_changes(WaterState(None, 5.0), WaterState(0.0, None), Limits(), START)


def test_a_limit_that_never_arrives_is_refused() -> None:
    with pytest.raises(Problem, match="never arrives"):
        by_changes(WaterState(2.0), WaterState(0.0), Limits(salinity_g_per_l=0.0), START)
    with pytest.raises(Problem, match="no plan"):
        by_changes(WaterState(15.0), WaterState(0.0), Limits(salinity_g_per_l=0.01), START)
