"""Logging temperatures."""

from datetime import UTC, datetime, time, timedelta

import pytest

from app.services import readings
from app.services.refusals import Refused
from app.services.tanks import close_tank
from app.services.undo import undo
from app.store.actor import Actor, Forbidden
from app.store.journal import Act
from app.store.readings import Reading
from app.store.session import NotFound, RoomSession, enter, rows
from tests.conftest import NOON, People
from tests.factories import Made


def test_a_temperature_without_a_day_is_taken_now(session: RoomSession, keeper: Actor, made: Made) -> None:
    reading = readings.log_reading(session, keeper, made.tank().id, temperature_c=24.5)
    assert (reading.taken_at, reading.value) == (NOON, 24.5)


def test_the_hour_is_told_by_the_fishrooms_clock(session: RoomSession, keeper: Actor, made: Made) -> None:
    reading = readings.log_reading(
        session, keeper, made.tank().id, temperature_c=24, on=made.days_ago(1), at=time(18, 30)
    )
    assert reading.taken_at == datetime(2026, 6, 14, 16, 30, tzinfo=UTC)


def test_an_earlier_day_without_an_hour_counts_as_midday(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    reading = readings.log_reading(session, keeper, made.tank().id, temperature_c=24, on=made.days_ago(1))
    assert reading.taken_at == datetime(2026, 6, 14, 10, 0, tzinfo=UTC)


def test_a_time_still_ahead_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank = made.tank()
    with pytest.raises(Refused, match="15 June, 20:00 is still ahead") as refusal:
        readings.log_reading(session, keeper, tank.id, temperature_c=24, at=time(20))
    assert refusal.value.field == "on"
    with pytest.raises(Refused, match="still ahead"):
        readings.log_reading(session, keeper, tank.id, temperature_c=24, on=made.days_ago(-1))


def test_a_temperature_no_tank_has_is_refused_with_the_other_scale(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    with pytest.raises(Refused, match=r"°F\?"):
        readings.log_reading(session, keeper, made.tank().id, temperature_c=76)


def test_the_same_moment_of_a_tank_is_logged_once(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank, other = made.tank(), made.tank()
    readings.log_reading(session, keeper, tank.id, temperature_c=24)
    readings.log_reading(session, keeper, other.id, temperature_c=24)
    with pytest.raises(Refused, match="there already"):
        readings.log_reading(session, keeper, tank.id, temperature_c=25)


def test_two_of_one_moment_in_one_paste_are_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    shown = readings.Shown(made.tank().id, NOON - timedelta(days=1), 24)
    with pytest.raises(Refused, match="there already"):
        readings.log_readings(session, keeper, [shown, shown])
    assert rows(session, Reading) == []


def test_a_walk_is_one_act_that_is_taken_back_as_one(session: RoomSession, keeper: Actor, made: Made) -> None:
    tanks = [made.tank("Left"), made.tank("Right")]
    readings.log_readings(session, keeper, [readings.Shown(tank.id, NOON, 24) for tank in tanks])
    act = rows(session, Act)[-1]
    assert act.words == "2 temperatures logged for Left and Right"
    undo(session, keeper, act.id)
    assert rows(session, Reading) == []


def test_a_walk_on_which_nothing_was_read_is_refused(session: RoomSession, keeper: Actor) -> None:
    with pytest.raises(Refused, match="Nothing was read"):
        readings.log_readings(session, keeper, [])


def test_a_tank_that_was_taken_down_has_no_temperature_after(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank = made.tank()
    close_tank(session, keeper, tank.id)
    tank.closed_on = made.days_ago(3)
    with pytest.raises(Refused, match="taken down"):
        readings.log_reading(session, keeper, tank.id, temperature_c=24)
    readings.log_reading(session, keeper, tank.id, temperature_c=24, on=made.days_ago(5))
    assert len(rows(session, Reading)) == 1


def test_a_slip_is_taken_out_and_that_can_be_taken_back(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    reading = readings.log_reading(session, keeper, made.tank().id, temperature_c=14)
    readings.remove_reading(session, keeper, reading.id)
    assert rows(session, Reading) == []
    undo(session, keeper, rows(session, Act)[-1].id)
    assert [(r.value, r.taken_at) for r in rows(session, Reading)] == [(14, NOON)]


def test_a_helper_takes_out_only_what_the_helper_logged(
    session: RoomSession, keeper: Actor, people: People, made: Made
) -> None:
    tank = made.tank()
    kept = readings.log_reading(session, keeper, tank.id, temperature_c=24, on=made.days_ago(1))
    own = readings.log_reading(session, people.helper, tank.id, temperature_c=25)
    with pytest.raises(Forbidden):
        readings.remove_reading(session, people.helper, kept.id)
    readings.remove_reading(session, people.helper, own.id)
    assert rows(session, Reading) == [kept]


def test_a_reader_logs_nothing_and_a_stranger_finds_no_tank(
    session: RoomSession, keeper: Actor, people: People, made: Made
) -> None:
    tank = made.tank()
    with pytest.raises(Forbidden):
        readings.log_reading(session, people.reader, tank.id, temperature_c=24)
    enter(session, people.stranger.fishroom_id)
    with pytest.raises(NotFound):
        readings.log_reading(session, people.stranger, tank.id, temperature_c=24)
