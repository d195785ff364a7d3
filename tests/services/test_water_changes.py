"""Changes take out their share and bring in what the new water holds; top-ups take nothing."""

from datetime import timedelta

import pytest

from app.core.water.ledger import Held
from app.queries.ledger import TankLedger, tank_ledger
from app.services import undo
from app.services.doses import log_dose
from app.services.refusals import NotFound, Refused
from app.services.water_changes import Pour, log_change, log_top_up
from app.services.waters import retire_water
from app.store.actor import Actor, Forbidden
from app.store.session import RoomSession, enter, rows
from app.store.waters import Poured, WaterChange
from tests.conftest import People
from tests.factories import Made


def book(session: RoomSession, actor: Actor, tank_id: int) -> TankLedger:
    return tank_ledger(session, actor, tank_id)


def test_a_change_by_share_of_a_blend(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank = made.tank("T3", litres=60)
    tap, rain = made.water("tap", gh_dh=12.0), made.water("rain", gh_dh=0.0)
    change = log_change(session, keeper, tank.id, [Pour(tap.id, 1), Pour(rain.id, 3)], fraction=1.0)
    poured = rows(session, Poured, Poured.change_id == change.id)
    assert [one.litres for one in poured] == [15.0, 45.0]
    assert book(session, keeper, tank.id).level(Held.GH, keeper.now) == pytest.approx(3.0)
    assert session.info["act"].words == "T3: 100 % (60 L) changed with tap and rain"


def test_a_change_by_volume_dilutes_and_is_taken_back_whole(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank, rain, salt = made.tank(litres=60), made.water(), made.substance()
    log_dose(session, keeper, tank.id, salt.id, amount=60.0, at=keeper.now - timedelta(hours=2))
    log_change(session, keeper, tank.id, [Pour(rain.id)], litres=15.0)
    assert book(session, keeper, tank.id).level(Held.SALT, keeper.now) == pytest.approx(0.75)
    undo.undo(session, keeper, session.info["act"].id)
    assert book(session, keeper, tank.id).level(Held.SALT, keeper.now) == pytest.approx(1.0)
    assert not rows(session, WaterChange)
    assert not rows(session, Poured)


def test_a_top_up_keeps_the_salt_and_brings_the_waters_hardness(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank, tap, salt = made.tank("T3", litres=60), made.water("tap", gh_dh=10.0), made.substance()
    log_change(session, keeper, tank.id, [Pour(tap.id)], fraction=1.0, at=keeper.now - timedelta(hours=3))
    log_dose(session, keeper, tank.id, salt.id, amount=60.0, at=keeper.now - timedelta(hours=2))
    log_top_up(session, keeper, tank.id, [Pour(tap.id)], litres=6.0)
    now = book(session, keeper, tank.id)
    assert now.level(Held.SALT, keeper.now) == pytest.approx(1.0)
    assert now.level(Held.GH, keeper.now) == pytest.approx(11.0)
    assert session.info["act"].words == "T3: topped up by 6 L with tap"


def test_a_water_that_was_not_told_makes_levels_unknown(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank, unmeasured = made.tank(litres=60), made.water(salinity_g_per_l=None)
    at = keeper.now - timedelta(hours=1)
    log_change(session, keeper, tank.id, [Pour(unmeasured.id)], fraction=0.5, at=at)
    salt = book(session, keeper, tank.id).accounts[Held.SALT]
    assert salt.at(at - timedelta(minutes=1)) == 0.0
    assert salt.at(keeper.now) is None
    assert salt.unknown_since == at
    other = made.tank()
    log_change(session, keeper, other.id, fraction=0.5)
    assert book(session, keeper, other.id).level(Held.SALT, keeper.now) is None


def test_what_cannot_be_is_refused_by_name(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank, tap = made.tank("T3", litres=60), made.water("tap")
    with pytest.raises(Refused, match=r"80 L is more than T3 holds \(60 L\)") as refused:
        log_change(session, keeper, tank.id, [Pour(tap.id)], litres=80.0)
    assert refused.value.field == "volume"
    with pytest.raises(Refused, match="120 % cannot be changed"):
        log_change(session, keeper, tank.id, [Pour(tap.id)], fraction=1.2)
    with pytest.raises(Refused, match="How much was it"):
        log_change(session, keeper, tank.id, [Pour(tap.id)])
    with pytest.raises(Refused, match="more than 0"):
        log_top_up(session, keeper, tank.id, [Pour(tap.id)], litres=float("nan"))
    with pytest.raises(Refused, match="stands there twice"):
        log_change(session, keeper, tank.id, [Pour(tap.id), Pour(tap.id)], fraction=0.5)
    with pytest.raises(Refused, match="How much of it was tap"):
        log_change(session, keeper, tank.id, [Pour(tap.id, 0)], fraction=0.5)
    with pytest.raises(Refused, match="still ahead"):
        log_change(session, keeper, tank.id, fraction=0.5, at=keeper.now + timedelta(hours=1))
    many = [Pour(made.water().id) for _ in range(5)]
    with pytest.raises(Refused, match="At most 4 waters"):
        log_change(session, keeper, tank.id, many, fraction=0.5)
    retire_water(session, keeper, tap.id)
    with pytest.raises(Refused, match="tap was put away"):
        log_change(session, keeper, tank.id, [Pour(tap.id)], fraction=0.5)


def test_helpers_log_changes_readers_and_others_do_not(
    session: RoomSession, keeper: Actor, people: People, made: Made
) -> None:
    tank, tap = made.tank(), made.water()
    assert log_change(session, people.helper, tank.id, [Pour(tap.id)], fraction=0.1).id
    with pytest.raises(Forbidden):
        log_top_up(session, people.reader, tank.id, litres=1.0)
    enter(session, people.stranger.fishroom_id)
    with pytest.raises(NotFound):
        log_change(session, people.stranger, tank.id, [Pour(tap.id)], fraction=0.1)
