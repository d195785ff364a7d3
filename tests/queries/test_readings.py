"""Temperatures by day and week, the last of each tank, and the chart."""

from datetime import UTC, date, datetime, time

from app.core.quantities.dated import DatedLine
from app.queries.readings import (
    DayTemperature,
    by_day,
    by_week,
    last_readings,
    pasted_words,
    readings_page,
)
from app.services import moments, readings
from app.services.readings import Shown
from app.store.actor import Actor
from app.store.session import RoomSession
from tests.conftest import People
from tests.factories import Made


def test_a_days_readings_are_added_up_by_the_fishrooms_day(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank = made.tank()
    late = datetime(2026, 6, 13, 22, 30, tzinfo=UTC)  # half past midnight of the 14th in Berlin
    noon = datetime(2026, 6, 14, 10, 0, tzinfo=UTC)
    readings.log_readings(session, keeper, [Shown(tank.id, late, 24), Shown(tank.id, noon, 26)])
    assert by_day(session, keeper, tank.id) == (DayTemperature(date(2026, 6, 14), 25, 24, 26, 2),)


def test_only_days_since_the_one_asked_for_are_read(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank = made.tank()
    for days in (1, 5, 9):
        readings.log_reading(session, keeper, tank.id, temperature_c=24, on=made.days_ago(days))
    assert [day.on for day in by_day(session, keeper, tank.id, made.days_ago(5))] == [
        made.days_ago(5),
        made.days_ago(1),
    ]


def test_a_week_weighs_its_days_by_their_readings() -> None:
    monday, sunday, next_monday = date(2026, 6, 8), date(2026, 6, 14), date(2026, 6, 15)
    days = (
        DayTemperature(monday, 24, 23, 25, 3),
        DayTemperature(sunday, 28, 28, 28, 1),
        DayTemperature(next_monday, 20, 20, 20, 1),
    )
    assert by_week(days) == (
        DayTemperature(monday, 25, 23, 28, 4),
        DayTemperature(next_monday, 20, 20, 20, 1),
    )


def test_the_last_reading_says_how_old_it_is_and_whether_it_is_off(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    warm, old, set_low = made.tank(), made.tank(), made.tank(set_point_c=20.0)
    readings.log_reading(session, keeper, warm.id, temperature_c=27.5, at=time(9))
    readings.log_reading(session, keeper, old.id, temperature_c=30, on=made.days_ago(20))
    readings.log_reading(session, keeper, set_low.id, temperature_c=20.5)
    last = last_readings(session, keeper)
    assert (last[warm.id].ago, last[warm.id].off_by) == ("today at 09:00", 2.5)
    assert (last[old.id].old, last[old.id].off_by) == (True, 0)
    assert last[set_low.id].off_by == 0
    assert set(last_readings(session, keeper, [warm.id])) == {warm.id}


def test_readings_come_a_page_at_a_time(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank = made.tank()
    days = [moments.moment(keeper, made.days_ago(n)) for n in range(70)]
    readings.log_readings(session, keeper, [Shown(tank.id, at, 24) for at in days])
    first = readings_page(session, keeper, tank.id)
    assert (len(first.rows), first.total, first.newer, first.older) == (60, 70, None, 60)
    second = readings_page(session, keeper, tank.id, 60)
    assert (len(second.rows), second.newer, second.older) == (10, 0, None)


def test_a_helper_may_take_out_own_readings_only(
    session: RoomSession, keeper: Actor, people: People, made: Made
) -> None:
    tank = made.tank()
    readings.log_reading(session, keeper, tank.id, temperature_c=24, on=made.days_ago(1))
    readings.log_reading(session, people.helper, tank.id, temperature_c=25)
    assert [row.removable for row in readings_page(session, people.helper, tank.id).rows] == [True, False]
    assert not any(row.removable for row in readings_page(session, people.reader, tank.id).rows)


def test_a_paste_is_summed_up_in_words() -> None:
    good = DatedLine("a", date(2026, 6, 1), None, 24.0)
    assert pasted_words([good, good]) == "2 temperatures of 1 day read. Nothing is saved yet."
    assert "1 line could not be read" in pasted_words([good, DatedLine("b", trouble="no")])
