"""The almanac as a sheet for the wall."""

from datetime import date, timedelta

import pytest

from app.queries.almanac_month import month_page
from app.store.actor import Actor
from app.store.session import RoomSession
from tests.factories import Made
from tests.queries.test_lanes import course


def test_a_sheet_holds_whole_weeks_from_this_one_on(session: RoomSession, keeper: Actor) -> None:
    page = month_page(session, keeper, keeper.today)
    days = [day.day for week in page.weeks for day in week]
    assert (days[0], days[-1]) == (date(2026, 6, 15), date(2026, 7, 5))
    assert [day.day.day for week in page.weeks for day in week if not day.within] == [1, 2, 3, 4, 5]


@pytest.mark.parametrize(
    ("asked", "first"), [(date(2025, 1, 1), date(2026, 6, 1)), (date(2030, 1, 1), date(2027, 6, 1))]
)
def test_a_sheet_is_of_this_month_up_to_a_year_ahead(
    session: RoomSession, keeper: Actor, asked: date, first: date
) -> None:
    page = month_page(session, keeper, asked)
    assert page.first == first
    assert (page.earlier is None) == (first == date(2026, 6, 1))
    assert (page.later is None) == (first == date(2027, 6, 1))


def test_a_window_stands_on_its_first_day_with_its_end_and_a_step_on_its_own(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    section = made.section()
    batch = made.batch(made.line("guppy"), section, age_days=25)
    course(made, section.tank_id, (0, 2))
    page = month_page(session, keeper, keeper.today)
    said = {
        (day.day - keeper.today).days: [f"{one.subject.label} {one.words}" for one in day.noted]
        for week in page.weeks
        for day in week
        if day.noted
    }
    assert "Salt step" in said[0]
    assert "Salt step" in said[2]
    windows = [words for lines in said.values() for words in lines if words.startswith(batch.code)]
    assert any(words.startswith(f"{batch.code} sex and split to ") for words in windows)


def test_other_reminders_stand_on_the_day_they_fall_due_alike_ones_in_one_line(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line = made.line("guppy")
    first, _ = made.batch(line, age_days=8), made.batch(line, age_days=8)
    page = month_page(session, keeper, keeper.today)
    today = next(day for week in page.weeks for day in week if day.day == keeper.today)
    assert f"{first.code} count, with 1 more" in [f"{one.subject.label} {one.words}" for one in today.noted]
    assert not any(one.words.startswith(("split", "rehome,")) for one in today.noted)


def test_a_fuller_sheet_is_printed_smaller(session: RoomSession, keeper: Actor, made: Made) -> None:
    assert month_page(session, keeper, keeper.today).size == "roomy"
    section = made.section()
    for _ in range(40):
        course(made, section.tank_id, (0,))
    later = month_page(session, keeper, keeper.today + timedelta(days=1))
    assert later.size == "tight"
