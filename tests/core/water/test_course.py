"""Doses of a course, and what a change takes of them."""

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.problems import Problem
from app.core.water import course
from app.core.water.ledger import Changed, Dosed, Event, Held, account, in_order
from app.core.water.salt_course import ramp_down

START = date(2026, 6, 15)
MORNING = datetime(2026, 6, 15, 8, tzinfo=UTC)


def dosed(hours: float, grams: float) -> Dosed:
    return Dosed(MORNING + timedelta(hours=hours), {Held.SALT: grams})


def changed(hours: float, litres: float, salt: float | None = 0.0) -> Changed:
    return Changed(MORNING + timedelta(hours=hours), litres, {Held.SALT: salt})


def took(events: list[Event], litres: float, since: datetime = MORNING) -> course.Taken | None:
    ordered = in_order(events)
    return course.taken(account(Held.SALT, litres, ordered, start=0.0), ordered, litres, since)


def test_each_dose_is_the_difference_to_the_next_level() -> None:
    first, second = course.raised(48.0, 0.0, (1.5, 3.0), START, 1)
    assert (first.amount, second.amount) == (72.0, 72.0)  # 1.5 g/L in 48 L, by hand
    assert (first.day, second.day) == (START, START + timedelta(days=1))
    assert second.level == 3.0


def test_what_is_in_the_tank_already_counts() -> None:
    (only,) = course.raised(40.0, 0.5, (2.0,), START, 2)
    assert only.amount == pytest.approx(60.0)


@pytest.mark.parametrize("levels", [(3.0, 1.5), (1.5, 1.5), (0.0,), (float("nan"),)])
def test_levels_that_do_not_rise_are_refused(levels: tuple[float, ...]) -> None:
    with pytest.raises(Problem, match="rising levels"):
        course.raised(40.0, 0.0, levels, START, 1)


@pytest.mark.parametrize(
    ("litres", "levels", "every", "field"),
    [(0, (1,), 1, "litres"), (40, (), 1, "times"), (40, (1,), 0, "every_days"), (40, (1,), 31, "every_days")],
)
def test_what_cannot_be_is_named(litres: float, levels: tuple[float, ...], every: int, field: str) -> None:
    with pytest.raises(Problem) as caught:
        course.raised(litres, 0.0, levels, START, every)
    assert caught.value.field == field


def test_a_labels_dose_is_given_by_the_litre_on_its_days() -> None:
    doses = course.repeated(60.0, 0.0, 0.05, START, 2, 3)
    assert [one.amount for one in doses] == [3.0, 3.0, 3.0]
    assert [(one.day - START).days for one in doses] == [0, 2, 4]
    assert doses[-1].level == pytest.approx(0.15)


def test_a_dose_of_nothing_is_refused() -> None:
    with pytest.raises(Problem, match="label's dose"):
        course.repeated(60.0, 0.0, 0.0, START, 1, 3)


def test_a_change_takes_its_share_of_the_salt() -> None:
    # 144 g in 48 L is 3 g/L; 30 % of it goes out with 14.4 L.
    found = took([dosed(1, 144.0), changed(24, 14.4)], 48.0)
    assert found is not None
    assert found.amount == pytest.approx(43.2)
    assert found.litres == pytest.approx(14.4)


def test_salty_new_water_gives_some_of_it_back() -> None:
    found = took([dosed(1, 144.0), changed(24, 14.4, 1.0)], 48.0)
    assert found is not None
    assert found.amount == pytest.approx(28.8)


def test_changes_before_the_dose_do_not_count() -> None:
    events: list[Event] = [changed(-5, 20.0), dosed(1, 144.0)]
    assert took(events, 48.0, MORNING + timedelta(hours=1)) is None


def test_water_nobody_knows_leaves_what_it_took_unknown() -> None:
    assert took([dosed(1, 144.0), changed(24, 14.4, None)], 48.0) is None


@given(
    litres=st.floats(10, 400),
    level=st.floats(0.5, 5),
    shares=st.lists(st.floats(0.05, 0.9), min_size=1, max_size=5),
)
def test_putting_back_what_was_taken_restores_the_level(
    litres: float, level: float, shares: list[float]
) -> None:
    events: list[Event] = [dosed(0, level * litres)]
    events += [changed(24 + k, share * litres) for k, share in enumerate(shares)]
    found = took(events, litres)
    assert found is not None
    again = account(Held.SALT, litres, [*events, dosed(100, found.amount)], start=0.0)
    assert again.points[-1].after == pytest.approx(level)


def test_what_is_missing_is_what_was_taken_and_rounding_is_nothing() -> None:
    assert course.missing(3.0, 2.1, 48.0) == pytest.approx(43.2)
    assert course.missing(3.0, 2.95, 48.0) == 0.0
    assert course.missing(3.0, 3.2, 48.0) == 0.0


def test_more_than_one_and_a_half_grams_a_day_is_steep() -> None:
    assert not course.steep(course.raised(40.0, 0.0, (1.5, 3.0), START, 1))
    assert course.steep(course.raised(40.0, 0.0, (3.0,), START, 1))


def test_seven_changes_of_two_fifths_bring_three_grams_to_plain_water() -> None:
    steps = ramp_down(3.0, 0.1, 0.4, START, 2)
    assert len(steps) == 7  # 3 × 0.6⁷ = 0.084, 3 × 0.6⁶ = 0.140
    assert (steps[-1].day - START).days == 12
    assert steps[-1].g_per_l == pytest.approx(0.0840, abs=1e-4)
