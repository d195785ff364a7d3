"""Gaps that fry pass, may pass, or are held by."""

import pytest

from app.core.dividers import Passing, passing
from app.core.problems import Problem


def test_newborn_fry_pass_a_gap_of_two_millimetres() -> None:
    assert passing(7.0, 2.0) is Passing.THROUGH


def test_a_gap_of_half_a_millimetre_holds_them() -> None:
    assert passing(7.0, 0.5) is Passing.HELD


def test_between_the_two_nobody_can_say() -> None:
    assert passing(7.0, 1.0) is Passing.MAY


def test_what_held_at_first_never_lets_larger_fry_pass() -> None:
    order = [Passing.THROUGH, Passing.MAY, Passing.HELD]
    found = [order.index(passing(length / 2, 1.5)) for length in range(10, 60)]
    assert found == sorted(found)
    assert set(found) == {0, 1, 2}


@pytest.mark.parametrize(("length", "gap", "field"), [(0, 1, "length_mm"), (7, -1, "gap_mm")])
def test_nothing_and_less_are_refused_by_name(length: float, gap: float, field: str) -> None:
    with pytest.raises(Problem) as caught:
        passing(length, gap)
    assert caught.value.field == field
