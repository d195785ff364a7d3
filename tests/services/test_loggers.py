"""Devices that send readings: tokens, tanks, repeats, and the days added up."""

from datetime import datetime, timedelta

import pytest

from app.core.loggers import Sent
from app.services import loggers, tanks
from app.services.refusals import NotFound, Refused
from app.store.actor import Actor, Forbidden
from app.store.journal import Act, Change
from app.store.readings import Logger, Quantity, Reading, ReadingDay
from app.store.session import RoomSession, enter, rows
from app.store.users import Role
from tests.conftest import NOON, People
from tests.factories import Made


def let_in(session: RoomSession, actor: Actor, tank_id: int | None = None) -> loggers.Heard:
    token = loggers.add_logger(session, actor, name="Probe", tank_id=tank_id)
    found = loggers.heard(session, token, NOON)
    assert found is not None
    return found


def sent(value: float = 24.0, at: datetime = NOON, tank: str | int | None = None) -> Sent:
    return Sent(tank, "temperature", value, at)


def test_a_token_opens_one_fishroom_to_log_and_no_more(session: RoomSession, keeper: Actor) -> None:
    found = let_in(session, keeper)
    assert (found.actor.fishroom_id, found.actor.role) == (keeper.fishroom_id, Role.HELPER)
    assert found.actor.zone == keeper.zone
    assert loggers.heard(session, "guessed", NOON) is None


def test_only_the_digest_of_a_token_is_kept_and_nothing_is_journaled(
    session: RoomSession, keeper: Actor
) -> None:
    token = loggers.add_logger(session, keeper, name="Probe")
    (logger,) = rows(session, Logger)
    assert token not in logger.token_hash
    assert len(logger.token_hash) == 64
    assert rows(session, Act) == []


def test_a_revoked_token_is_not_heard_again(session: RoomSession, keeper: Actor) -> None:
    token = loggers.add_logger(session, keeper, name="Probe")
    loggers.revoke_logger(session, keeper, rows(session, Logger)[0].id)
    assert loggers.heard(session, token, NOON) is None


def test_only_keepers_let_in_and_shut_out(session: RoomSession, keeper: Actor, people: People) -> None:
    found = let_in(session, keeper)
    with pytest.raises(Forbidden):
        loggers.add_logger(session, people.helper, name="Mine")
    with pytest.raises(Forbidden):
        loggers.revoke_logger(session, people.helper, found.logger_id)
    enter(session, people.stranger.fishroom_id)
    with pytest.raises(NotFound):
        loggers.revoke_logger(session, people.stranger, found.logger_id)


@pytest.mark.parametrize("name", ["", "  ", "x" * 61, "Probe"])
def test_a_name_is_needed_short_and_its_own(session: RoomSession, keeper: Actor, name: str) -> None:
    loggers.add_logger(session, keeper, name="Probe")
    with pytest.raises(Refused) as refusal:
        loggers.add_logger(session, keeper, name=name)
    assert refusal.value.field == "name"


def test_readings_are_stored_once_and_their_days_added_up(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank = made.tank("Rack")
    found = let_in(session, keeper, tank.id)
    items = [sent(24 + n, NOON - timedelta(hours=n)) for n in range(3)]
    first = loggers.store_sent(session, found.actor, found.logger_id, items)
    again = loggers.store_sent(session, found.actor, found.logger_id, [*items, sent(30, NOON, "Rack")])
    assert (first.stored, first.repeated) == (3, 0)
    assert (again.stored, again.repeated) == (0, 4)
    (day,) = rows(session, ReadingDay)
    assert (day.low, day.high, day.mean, day.number) == (24, 26, 25, 3)
    assert rows(session, Logger)[0].heard_at == NOON


def test_no_reading_of_a_device_is_in_the_journal(session: RoomSession, keeper: Actor, made: Made) -> None:
    found = let_in(session, keeper, made.tank().id)
    before = len(rows(session, Change))
    loggers.store_sent(session, found.actor, found.logger_id, [sent()])
    assert len(rows(session, Change)) == before


def test_one_message_may_tell_of_several_tanks_and_quantities(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    one, two = made.tank("One"), made.tank("Two")
    found = let_in(session, keeper, one.id)
    ph = Sent(two.id, "pH", 7.4, NOON)
    loggers.store_sent(session, found.actor, found.logger_id, [sent(), sent(25, tank="Two"), ph])
    kept = {(r.tank_id, r.quantity, r.value) for r in rows(session, Reading)}
    assert kept == {
        (one.id, Quantity.TEMPERATURE, 24.0),
        (two.id, Quantity.TEMPERATURE, 25.0),
        (two.id, Quantity.PH, 7.4),
    }


@pytest.mark.parametrize("tank", [None, "Nowhere", 999_999, 2**60])
def test_a_tank_that_is_not_here_refuses_the_whole_message(
    session: RoomSession, keeper: Actor, made: Made, tank: str | int | None
) -> None:
    made.tank("Rack")
    found = let_in(session, keeper)
    with pytest.raises(Refused) as refusal:
        loggers.store_sent(session, found.actor, found.logger_id, [sent(tank="Rack"), sent(tank=tank)])
    assert refusal.value.field == "items[1].tank"
    assert rows(session, Reading) == []


def test_a_tank_of_another_fishroom_is_not_here(
    session: RoomSession, keeper: Actor, made: Made, people: People
) -> None:
    mine = made.tank("Rack")
    enter(session, people.stranger.fishroom_id)
    found = let_in(session, people.stranger)
    for tank in ("Rack", mine.id):
        with pytest.raises(Refused):
            loggers.store_sent(session, found.actor, found.logger_id, [sent(tank=tank)])


def test_a_tank_taken_down_takes_no_later_readings(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank = made.tank()
    found = let_in(session, keeper, tank.id)
    tanks.close_tank(session, keeper, tank.id)
    tank.closed_on = made.days_ago(1)
    earlier = sent(24, NOON - timedelta(days=2))
    assert loggers.store_sent(session, found.actor, found.logger_id, [earlier]).stored == 1
    with pytest.raises(Refused, match="taken down"):
        loggers.store_sent(session, found.actor, found.logger_id, [sent()])
