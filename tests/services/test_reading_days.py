"""Tests of the days of readings, which follow every reading logged, taken out or taken back."""

from dataclasses import replace
from datetime import UTC, datetime, time

from sqlalchemy import select

from app.services import fishrooms, moments, readings
from app.services.reading_days import settle
from app.services.undo import undo
from app.store.actor import Actor
from app.store.journal import Act
from app.store.readings import Logger, Quantity, Reading, ReadingDay
from app.store.session import RoomSession, rows
from tests.factories import Made


def _days(session: RoomSession) -> list[tuple[str, float, float, float, int]]:
    found = rows(session, ReadingDay, order=ReadingDay.day)
    return [(day.day.isoformat(), day.low, day.high, day.mean, day.number) for day in found]


def test_a_day_holds_its_lowest_highest_and_mean(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank = made.tank()
    readings.log_reading(session, keeper, tank.id, temperature_c=24, on=made.days_ago(1), at=time(8))
    readings.log_reading(session, keeper, tank.id, temperature_c=27, on=made.days_ago(1), at=time(20))
    assert _days(session) == [(made.days_ago(1).isoformat(), 24, 27, 25.5, 2)]


def test_a_reading_taken_out_leaves_its_day_too(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank = made.tank()
    readings.log_reading(session, keeper, tank.id, temperature_c=24, on=made.days_ago(1))
    slip = readings.log_reading(session, keeper, tank.id, temperature_c=14)
    readings.remove_reading(session, keeper, slip.id)
    assert [day for day, *_ in _days(session)] == [made.days_ago(1).isoformat()]


def test_taking_an_act_back_adds_the_day_up_again(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank = made.tank()
    slip = readings.log_reading(session, keeper, tank.id, temperature_c=14)
    readings.remove_reading(session, keeper, slip.id)
    removed = session.scalars(select(Act).where(Act.verb == "remove reading")).one()
    undo(session, keeper, removed.id)
    assert [(low, number) for _, low, _, _, number in _days(session)] == [(14, 1)]


def test_a_day_begins_by_the_clock_of_the_fishroom_in_summer_and_winter(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank, actor = made.tank(), replace(keeper, zone="America/New_York")
    logger = Logger(fishroom_id=keeper.fishroom_id, name="probe", token_hash="x" * 64, created_at=keeper.now)
    session.add(logger)
    session.flush()
    moments = [datetime(2026, 1, 11, 4, 30, tzinfo=UTC), datetime(2026, 6, 11, 4, 30, tzinfo=UTC)]
    session.add_all(
        Reading(fishroom_id=keeper.fishroom_id, tank_id=tank.id, logger_id=logger.id, taken_at=at, value=25)
        for at in moments
    )
    settle(session, actor, [(tank.id, Quantity.TEMPERATURE, at) for at in moments])
    assert [day for day, *_ in _days(session)] == ["2026-01-10", "2026-06-11"]


def test_days_far_apart_are_added_up_without_what_lies_between(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank = made.tank()
    for ago in (900, 450, 449, 3):
        readings.log_reading(session, keeper, tank.id, temperature_c=24, on=made.days_ago(ago))
    read = [moments.moment(keeper, made.days_ago(ago)) for ago in (900, 449)]
    before = _days(session)
    settle(session, keeper, [(tank.id, Quantity.TEMPERATURE, at) for at in read])
    assert _days(session) == before
    assert len(before) == 4


def test_another_time_zone_moves_readings_to_their_new_days_and_back(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank = made.tank()
    readings.log_reading(session, keeper, tank.id, temperature_c=24, on=made.days_ago(2), at=time(1))
    readings.log_reading(session, keeper, tank.id, temperature_c=26, on=made.days_ago(2), at=time(13))
    one_day = _days(session)
    fishrooms.edit_fishroom(
        session, keeper, name="Cellar", units=keeper.units, time_zone="America/Chicago", set_point_c=25
    )
    moved = [(day, low, number) for day, low, _, _, number in _days(session)]
    assert moved == [(made.days_ago(3).isoformat(), 24, 1), (made.days_ago(2).isoformat(), 26, 1)]
    undo(session, replace(keeper, zone="America/Chicago"), rows(session, Act)[-1].id)
    assert _days(session) == one_day
