"""The ledger of real rows: every tank apart, old history cheap, and what the water page makes of it."""

from datetime import timedelta

import pytest

from app.core.water.ledger import Held
from app.queries.evidence.waters import gains_of, key_of
from app.queries.ledger import tank_ledger, tank_ledgers
from app.queries.nitrate import nitrate_ahead
from app.queries.water_page import water_page
from app.services.doses import log_dose
from app.services.readings import log_reading
from app.services.tanks import Life, edit_tank
from app.services.water_changes import Pour, log_change
from app.services.water_tests import log_test
from app.store.actor import Actor
from app.store.readings import Logger, Quantity, Reading
from app.store.session import RoomSession
from app.store.waters import Measure, SubstanceKind
from tests.factories import Made

DAY = timedelta(days=1)


def test_a_tank_is_its_own_account(session: RoomSession, keeper: Actor, made: Made) -> None:
    one, two, salt = made.tank(litres=60), made.tank(litres=30), made.substance()
    log_dose(session, keeper, one.id, salt.id, amount=60.0)
    log_dose(session, keeper, two.id, salt.id, amount=60.0)
    found = tank_ledgers(session, keeper)
    assert [found[tank.id].level(Held.SALT, keeper.now) for tank in (one, two)] == [1.0, 2.0]
    assert tank_ledgers(session, keeper, [two.id]).keys() == {two.id}


def test_what_a_substance_brings_is_told_by_its_label_before_its_formula(made: Made) -> None:
    mineral = SubstanceKind.MINERAL
    gypsum = made.substance("gypsum", kind=mineral, formula="CaSO4·2H2O")
    assert gains_of(gypsum)[Held.GH] == pytest.approx(32.57, abs=0.01)
    both = made.substance("both", kind=mineral, formula="CaSO4·2H2O", gh_dh_per_unit_l=10.0)
    assert gains_of(both) == {Held.GH: 10.0, Held.KH: 0.0}
    mix = made.substance("mix", kind=mineral)
    assert gains_of(mix) == {Held.GH: None, Held.KH: None}
    assert key_of(made.substance("soda", kind=mineral, formula="NaHCO3")) is Held.KH
    drops = made.substance("drops", kind=SubstanceKind.MEDICINE, measure=Measure.MILLILITRE)
    assert (key_of(drops), gains_of(drops)) == (drops.id, {drops.id: 1.0})


def test_a_loggers_values_do_not_move_the_ledger(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank = made.tank()
    logger = Logger(fishroom_id=keeper.fishroom_id, name="probe", token_hash="x" * 64, created_at=keeper.now)
    session.add(logger)
    session.flush()
    session.add(
        Reading(
            fishroom_id=keeper.fishroom_id,
            tank_id=tank.id,
            logger_id=logger.id,
            quantity=Quantity.GH,
            taken_at=keeper.now,
            value=9.0,
        )
    )
    session.flush()
    assert tank_ledger(session, keeper, tank.id).level(Held.GH, keeper.now) is None


def test_a_medicine_that_is_gone_is_shown_no_more(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank = made.tank(litres=50)
    drops = made.substance(
        "drops", kind=SubstanceKind.MEDICINE, measure=Measure.MILLILITRE, half_life_days=1.0
    )
    log_dose(session, keeper, tank.id, drops.id, amount=8.0, at=keeper.now - 3 * DAY)
    shown = {level.name: level for level in water_page(session, keeper, tank.id).levels}
    assert shown["drops"].words == "2 mL per 100 L"
    assert shown["drops"].note == "half gone in 1 day"
    later = made.tank(litres=50)
    log_dose(session, keeper, later.id, drops.id, amount=5.0, at=keeper.now - 30 * DAY)
    assert "drops" not in {level.name for level in water_page(session, keeper, later.id).levels}


def test_nitrate_is_reckoned_from_tests_food_and_changes(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank, tap = made.tank(litres=100), made.water("tap", nitrate_mg_per_l=5.0)
    assert "Test nitrate once" in nitrate_ahead(keeper, tank_ledger(session, keeper, tank.id), None).missing
    log_test(session, keeper, tank.id, {Quantity.NITRATE: 10.0}, at=keeper.now - 10 * DAY)
    log_test(session, keeper, tank.id, {Quantity.NITRATE: 15.0}, at=keeper.now)
    edit_tank(
        session,
        keeper,
        tank.id,
        name=tank.name,
        litres=100,
        position=1,
        set_point_c=None,
        quarantine=False,
        note="",
        life=Life(feed_g_per_day=0.25),
    )
    said = nitrate_ahead(keeper, tank_ledger(session, keeper, tank.id), tank.feed_g_per_day)
    assert said.outlook is not None
    assert said.outlook.today_mg_per_l == pytest.approx(15.0, abs=2.0)
    assert said.outlook.reaches is not None
    assert said.outlook.reaches.start > keeper.today
    words = " ".join(one.words for one in water_page(session, keeper, tank.id).todo)
    assert "Nitrate reaches 20 mg/L" in words
    log_change(session, keeper, tank.id, [Pour(tap.id)], fraction=0.5, at=keeper.now - 5 * DAY)
    assert nitrate_ahead(keeper, tank_ledger(session, keeper, tank.id), None).outlook is not None
    log_change(session, keeper, tank.id, fraction=0.5, at=keeper.now - 4 * DAY)
    assert "Give the nitrate" in nitrate_ahead(keeper, tank_ledger(session, keeper, tank.id), None).missing


def test_ammonia_gets_its_meaning_from_ph_and_temperature_near_it(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank = made.tank()
    log_test(session, keeper, tank.id, {Quantity.AMMONIA: 0.5})
    assert "depends on pH and temperature" in water_page(session, keeper, tank.id).ammonia
    log_test(session, keeper, tank.id, {Quantity.PH: 7.6}, at=keeper.now - DAY)
    log_reading(session, keeper, tank.id, temperature_c=26.0)
    said = water_page(session, keeper, tank.id).ammonia
    assert "0.014 mg/L is un-ionised, as NH₃" in said  # 0.0144 as published
    assert "limit for lasting exposure" in said
