"""Acclimation steps keep every limit and end in the tank's water."""

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.problems import Problem
from app.core.water.acclimation import FIELDS, Limits, WaterState, plan
from app.core.water.mixing import after_change

START = date(2025, 3, 1)
STATES = st.builds(WaterState, st.floats(0, 35), st.floats(0, 30), st.floats(15, 32))
LIMITS = st.builds(Limits, st.floats(0.2, 5), st.floats(0.2, 10), st.floats(0.2, 5))


@given(STATES, STATES, LIMITS)
def test_no_day_changes_more_than_allowed_and_the_last_is_the_tank(
    origin: WaterState, tank: WaterState, limits: Limits
) -> None:
    steps = plan(origin, tank, limits, START)
    waters = [origin, *(step.water for step in steps)]
    for before, after in pairwise(waters):
        for name in FIELDS:
            assert abs(getattr(after, name) - getattr(before, name)) <= getattr(limits, name) * (1 + 1e-6)
    for name in FIELDS:
        assert getattr(waters[-1], name) == pytest.approx(getattr(tank, name), abs=1e-6)


@given(STATES, STATES)
def test_replacing_the_stated_shares_gives_the_stated_waters(origin: WaterState, tank: WaterState) -> None:
    salt = origin.salinity_g_per_l or 0.0
    for step in plan(origin, tank, Limits(), START):
        salt = after_change(salt, tank.salinity_g_per_l or 0.0, step.share)
        assert salt == pytest.approx(step.water.salinity_g_per_l, abs=1e-6)


def test_brackish_stock_is_brought_to_fresh_water_day_by_day() -> None:
    steps = plan(WaterState(6.0, 20.0, 27.0), WaterState(0.0, 11.0, 25.0), Limits(1.5, 3.0, 2.0), START)
    assert [step.day for step in steps] == [START + timedelta(days=day) for day in range(4)]
    assert [step.water.salinity_g_per_l for step in steps] == pytest.approx([4.5, 3.0, 1.5, 0.0])
    assert [step.share for step in steps] == pytest.approx([1 / 4, 1 / 3, 1 / 2, 1])


def test_waters_alike_need_no_step() -> None:
    assert plan(WaterState(0, 8, 25), WaterState(0, 8, 25), Limits(), START) == ()


def test_what_is_not_known_is_left_out() -> None:
    steps = plan(WaterState(None, 20.0), WaterState(0.0, 8.0, 25.0), Limits(), START)
    assert [step.water.salinity_g_per_l for step in steps] == [None] * 4
    assert steps[-1].water.gh_dh == pytest.approx(8.0)


@pytest.mark.parametrize(
    ("origin", "tank", "limits", "field"),
    [
        (WaterState(), WaterState(0, 8, 25), Limits(), "from"),
        (WaterState(0, 8, 77), WaterState(0, 8, 25), Limits(), "from.temperature_c"),
        (WaterState(0, 8, 25), WaterState(-1, 8, 25), Limits(), "to.salinity_g_per_l"),
        (WaterState(0, 8, 25), WaterState(0, 9, 25), Limits(gh_dh=0), "limits_per_day.gh_dh"),
        (WaterState(30), WaterState(0), Limits(0.01), "limits_per_day"),
    ],
)
def test_impossible_plans_are_refused_by_field(
    origin: WaterState, tank: WaterState, limits: Limits, field: str
) -> None:
    with pytest.raises(Problem) as caught:
        plan(origin, tank, limits, START)
    assert caught.value.field == field
