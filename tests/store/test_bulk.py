"""Many rows at once, without those that are there already."""

from datetime import timedelta

from app.store.actor import Actor
from app.store.bulk import add_new
from app.store.readings import Logger, Quantity, Reading
from app.store.session import RoomSession, rows
from tests.factories import Made

ONCE = ("logger_id", "tank_id", "quantity", "taken_at")


def test_what_is_there_already_is_left_as_it_is(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank = made.tank()
    logger = Logger(fishroom_id=keeper.fishroom_id, name="probe", token_hash="x", created_at=keeper.now)
    session.add(logger)
    session.flush()
    common = {
        "fishroom_id": keeper.fishroom_id,
        "tank_id": tank.id,
        "logger_id": logger.id,
        "quantity": Quantity.TEMPERATURE,
    }
    given = [{**common, "taken_at": keeper.now - timedelta(minutes=n), "value": 24.0} for n in range(1500)]
    assert len(add_new(session, Reading, given[:1000], ONCE)) == 1000
    changed = [{**row, "value": 30.0} for row in given]
    found = add_new(session, Reading, [*changed, *changed], ONCE)
    assert len(found) == len(set(found)) == 500
    values = [reading.value for reading in rows(session, Reading)]
    assert (values.count(24.0), values.count(30.0)) == (1000, 500)


def test_nothing_given_is_nothing_done(session: RoomSession) -> None:
    assert add_new(session, Reading, [], ONCE) == []
