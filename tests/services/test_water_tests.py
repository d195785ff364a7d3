"""Water tests: what was filled in is read at once, and the ledger can be told to follow one."""

from datetime import timedelta

import pytest

from app.core.water.ledger import Held
from app.queries.ledger import tank_ledger
from app.services import readings, undo
from app.services.doses import log_dose
from app.services.refusals import Refused
from app.services.water_tests import log_test, trust_test
from app.store.actor import Actor, Forbidden
from app.store.readings import Quantity, Reading, ReadingDay
from app.store.session import RoomSession, rows
from tests.conftest import People
from tests.factories import Made


def test_several_values_are_one_act_and_have_their_days(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank = made.tank("T3")
    log_test(session, keeper, tank.id, {Quantity.PH: 7.42, Quantity.GH: 9.0, Quantity.AMMONIA: 0.25})
    assert session.info["act"].words == "T3: pH 7.42, GH 9 °dH and total ammonia 0.25 mg/L tested"
    assert {day.quantity for day in rows(session, ReadingDay)} == {
        Quantity.PH,
        Quantity.GH,
        Quantity.AMMONIA,
    }
    undo.undo(session, keeper, session.info["act"].id)
    assert not rows(session, Reading)
    assert not rows(session, ReadingDay)


@pytest.mark.parametrize(
    ("quantity", "value", "field"),
    [
        (Quantity.PH, 74.0, "ph"),
        (Quantity.GH, 180.0, "gh_dh"),
        (Quantity.AMMONIA, -0.1, "ammonia"),
        (Quantity.SALINITY, 60.0, "salinity"),
        (Quantity.NITRATE, float("nan"), "nitrate"),
        (Quantity.TEMPERATURE, 77.0, "temperature_c"),
    ],
)
def test_values_that_cannot_be_are_refused_on_their_field(
    session: RoomSession, keeper: Actor, made: Made, quantity: Quantity, value: float, field: str
) -> None:
    with pytest.raises(Refused, match="cannot be; give") as refused:
        log_test(session, keeper, made.tank().id, {quantity: value})
    assert refused.value.field == field


def test_nothing_read_twice_read_or_read_tomorrow_is_refused(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank = made.tank()
    with pytest.raises(Refused, match="Nothing was read"):
        log_test(session, keeper, tank.id, {})
    log_test(session, keeper, tank.id, {Quantity.PH: 7.0})
    with pytest.raises(Refused, match="there already"):
        log_test(session, keeper, tank.id, {Quantity.PH: 7.1})
    with pytest.raises(Refused, match="still ahead"):
        log_test(session, keeper, tank.id, {Quantity.GH: 7.1}, at=keeper.now + timedelta(days=1))


def test_the_ledger_follows_a_test_once_it_is_told_to(
    session: RoomSession, keeper: Actor, people: People, made: Made
) -> None:
    tank, salt = made.tank("T3", litres=50), made.substance()
    log_dose(session, keeper, tank.id, salt.id, amount=150.0, at=keeper.now - timedelta(days=2))
    at = keeper.now - timedelta(days=1)
    test = log_test(session, keeper, tank.id, {Quantity.SALINITY: 2.0}, at=at)[0]
    assert tank_ledger(session, keeper, tank.id).level(Held.SALT, keeper.now) == pytest.approx(3.0)
    trust_test(session, people.helper, test.id)
    assert tank_ledger(session, keeper, tank.id).level(Held.SALT, keeper.now) == pytest.approx(2.0)
    assert session.info["act"].words == "T3: the ledger follows the test of salinity 2 g/L"
    with pytest.raises(Refused, match="already"):
        trust_test(session, keeper, test.id)
    undo.undo(session, keeper, session.info["act"].id)
    assert tank_ledger(session, keeper, tank.id).level(Held.SALT, keeper.now) == pytest.approx(3.0)


def test_a_test_taken_out_is_named_by_its_quantity(session: RoomSession, keeper: Actor, made: Made) -> None:
    test = log_test(session, keeper, made.tank("T3").id, {Quantity.NITRATE: 20.0})[0]
    readings.remove_reading(session, keeper, test.id)
    assert session.info["act"].words.startswith("T3: nitrate 20 mg/L of 15 June")


def test_readers_do_not_test(session: RoomSession, people: People, made: Made) -> None:
    with pytest.raises(Forbidden):
        log_test(session, people.reader, made.tank().id, {Quantity.PH: 7.0})
