"""Taking in a logger's file as one act, and taking it back."""

from dataclasses import replace
from datetime import timedelta

import pytest
from sqlalchemy import func, select

from app.core.logger_files import Row
from app.services import logger_files, loggers, readings, tanks
from app.services.logger_files import import_file
from app.services.refusals import NotFound, Refused
from app.services.undo import undo
from app.store.actor import Actor, Forbidden
from app.store.journal import Act, Change
from app.store.readings import Logger, Quantity, Reading, ReadingDay
from app.store.session import RoomSession, rows
from tests.conftest import NOON, People
from tests.factories import Made


def hourly(hours: int, celsius: float = 24.0) -> list[Row]:
    return [Row(n + 2, NOON - timedelta(hours=hours - n), celsius) for n in range(hours)]


def taken_in(session: RoomSession, actor: Actor, tank_id: int, read: list[Row], text: str = "a") -> Logger:
    return import_file(session, actor, tank_id, name="probe.csv", text=text, read=read)


def test_a_file_is_one_act_whatever_its_length(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank = made.tank("Rack")
    before = len(rows(session, Change))
    taken_in(session, keeper, tank.id, hourly(100))
    assert len(rows(session, Reading)) == 100
    assert len(rows(session, Change)) == before + 1
    assert rows(session, Act)[-1].words == ("Rack: 100 temperatures of 11–15 June imported from probe.csv")


def test_taking_it_back_takes_out_every_reading_and_adds_the_days_up(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank = made.tank()
    mine = readings.log_reading(session, keeper, tank.id, temperature_c=20, on=made.days_ago(1))
    taken_in(session, keeper, tank.id, hourly(100))
    assert sum(day.number for day in rows(session, ReadingDay)) == 101
    undo(session, keeper, rows(session, Act)[-1].id)
    assert [reading.id for reading in rows(session, Reading)] == [mine.id]
    assert [(day.low, day.number) for day in rows(session, ReadingDay)] == [(20, 1)]
    assert rows(session, Logger) == []
    taken_in(session, keeper, tank.id, hourly(100))
    assert len(rows(session, Reading)) == 101


def test_the_same_file_is_not_taken_in_twice(session: RoomSession, keeper: Actor, made: Made) -> None:
    one, two = made.tank(), made.tank()
    taken_in(session, keeper, one.id, hourly(3))
    with pytest.raises(Refused, match="there already"):
        taken_in(session, keeper, one.id, hourly(3))
    with pytest.raises(Refused, match="imported for"):
        taken_in(session, keeper, one.id, hourly(4))
    assert taken_in(session, keeper, two.id, hourly(3)).name == "probe.csv (2)"


def test_a_file_that_grew_brings_only_what_is_new(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank = made.tank()
    taken_in(session, keeper, tank.id, hourly(50))
    taken_in(session, keeper, tank.id, hourly(60), "longer")
    number = session.scalar(select(func.count()).select_from(Reading))
    assert number == 60


def test_what_a_person_typed_does_not_stand_in_the_way(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank = made.tank()
    readings.log_reading(session, keeper, tank.id, temperature_c=20)
    assert (
        logger_files.already_there(session, keeper, tank.id, Quantity.TEMPERATURE, [Row(2, NOON, 24)])
        == set()
    )


def test_a_tank_taken_down_takes_no_later_file(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank = made.tank()
    tanks.close_tank(session, keeper, tank.id)
    tank.closed_on = made.days_ago(1)
    with pytest.raises(Refused, match="taken down") as refusal:
        taken_in(session, keeper, tank.id, hourly(3))
    assert refusal.value.field == "tank_id"


def test_helpers_import_and_readers_do_not(
    session: RoomSession, keeper: Actor, people: People, made: Made
) -> None:
    tank = made.tank()
    with pytest.raises(Forbidden):
        taken_in(session, people.reader, tank.id, hourly(3))
    taken_in(session, people.helper, tank.id, hourly(3))
    undo(session, people.helper, rows(session, Act)[-1].id)
    with pytest.raises(NotFound):
        taken_in(session, replace(keeper), 999_999, hourly(3))


def test_a_file_has_no_token_to_revoke(session: RoomSession, keeper: Actor, made: Made) -> None:
    logger = taken_in(session, keeper, made.tank().id, hourly(3))
    with pytest.raises(NotFound):
        loggers.revoke_logger(session, keeper, logger.id)
    assert loggers.heard(session, "a", NOON) is None


def test_one_file_brings_each_quantity_once(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank = made.tank("Rack")
    taken_in(session, keeper, tank.id, hourly(3))
    acid = [replace(row, value=7.2) for row in hourly(3)]
    import_file(session, keeper, tank.id, name="probe.csv", text="a", read=acid, quantity=Quantity.PH)
    assert rows(session, Act)[-1].words == "Rack: 3 readings of pH of 15 June imported from probe.csv (2)"
    assert {(row.quantity, row.value) for row in rows(session, Reading)} == {
        (Quantity.TEMPERATURE, 24.0),
        (Quantity.PH, 7.2),
    }
    assert {day.quantity for day in rows(session, ReadingDay)} == {Quantity.TEMPERATURE, Quantity.PH}
    with pytest.raises(Refused, match="there already"):
        import_file(session, keeper, tank.id, name="b", text="a", read=acid, quantity=Quantity.PH)
    undo(session, keeper, rows(session, Act)[-1].id)
    assert {row.quantity for row in rows(session, Reading)} == {Quantity.TEMPERATURE}
