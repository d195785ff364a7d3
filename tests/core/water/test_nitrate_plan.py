"""The planned changes hold the ceiling, now and for good."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.problems import Problem
from app.core.water.mixing import after_change, steady_cycle
from app.core.water.nitrate_plan import first_change, weekly_change, weekly_rise


def test_the_weekly_change_holds_the_lasting_peak_at_the_ceiling() -> None:
    fraction = weekly_change(60.0, 100.0, ceiling=20.0, source=5.0)
    assert fraction == pytest.approx(7 * 0.6 / 15)
    assert steady_cycle(0.6, 7, fraction or 0, 5.0).peak == pytest.approx(20.0)


def test_no_weekly_change_can_hold_what_the_source_exceeds_or_a_week_makes() -> None:
    assert weekly_change(60.0, 100.0, ceiling=20.0, source=25.0) is None
    assert weekly_change(1000.0, 100.0, ceiling=20.0) is None
    assert weekly_change(-5.0, 100.0, ceiling=20.0) == 0


def test_no_first_change_is_asked_of_a_tank_with_a_week_to_spare() -> None:
    assert first_change(5.0, 60.0, 100.0, ceiling=20.0) == 0


@given(st.floats(0, 200), st.floats(0, 300), st.floats(10, 100), st.floats(0, 30))
def test_after_the_first_change_the_weekly_one_never_lets_it_over_the_ceiling(
    now: float, production: float, ceiling: float, source: float
) -> None:
    first = first_change(now, production, 100.0, ceiling, source)
    weekly = weekly_change(production, 100.0, ceiling, source)
    if first is None or weekly is None:
        return
    level = after_change(now, source, first)
    for _ in range(30):
        level += weekly_rise(production, 100.0)
        assert level <= ceiling + 1e-6
        level = after_change(level, source, weekly)


def test_no_tank_is_refused() -> None:
    with pytest.raises(Problem, match="litres above 0"):
        weekly_change(60.0, 0.0, 20.0)
