"""A salt course is built up and brought down in dated steps."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.problems import Problem
from app.core.water.salt import Dose, ledger
from app.core.water.salt_course import build_up, ramp_down

START = date(2025, 3, 1)


def test_doses_build_up_evenly_within_the_daily_limit() -> None:
    steps = build_up(40.0, 0.0, 2.4, 1.0, START)
    assert [step.day for step in steps] == [date(2025, 3, 1), date(2025, 3, 2), date(2025, 3, 3)]
    assert [step.grams for step in steps] == pytest.approx([32.0] * 3)
    assert ledger(40.0, [Dose(step.grams) for step in steps]) == pytest.approx([s.g_per_l for s in steps])


def test_a_tank_at_its_target_needs_no_dose() -> None:
    assert build_up(40.0, 2.4, 2.4, 1.0, START) == ()
    assert len(build_up(40.0, 0.0, 2.4, 1.2, START)) == 2


def test_changes_bring_it_down_every_few_days() -> None:
    steps = ramp_down(2.4, 0.5, 0.3, START, every_days=2)
    assert [step.g_per_l for step in steps] == pytest.approx([1.68, 1.176, 0.8232, 0.57624, 0.403368])
    assert steps[-1].day == date(2025, 3, 9)


@given(st.floats(10, 500), st.floats(0, 20), st.floats(0.1, 5))
def test_no_dose_is_over_the_limit_and_the_last_meets_the_target(
    litres: float, target: float, most: float
) -> None:
    steps = build_up(litres, 0.0, target, most, START)
    assert all(step.grams / litres <= most * (1 + 1e-6) for step in steps)
    assert not steps or steps[-1].g_per_l == pytest.approx(target)


def test_impossible_courses_are_refused() -> None:
    with pytest.raises(Problem, match="never arrives"):
        build_up(40, 0, 2, 0, START)
    with pytest.raises(Problem, match="cannot be reached"):
        ramp_down(2.4, 0.1, 0.3, START, source=0.2)
    with pytest.raises(Problem, match="1 or more"):
        ramp_down(2.4, 0.5, 0.3, START, every_days=0)
