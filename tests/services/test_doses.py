"""Doses are followed to the gram, and what brings a tank to a level is exact."""

from datetime import timedelta

import pytest

from app.core.water.ledger import Held
from app.queries.ledger import tank_ledger
from app.services import undo
from app.services.doses import log_dose, log_dose_to
from app.services.refusals import NotFound, Refused
from app.services.substances import retire_substance
from app.services.water_changes import Pour, log_change
from app.store.actor import Actor, Forbidden
from app.store.session import RoomSession, rows
from app.store.waters import Dose, Hazard, Measure, SubstanceKind
from tests.conftest import People
from tests.factories import Made


def level(session: RoomSession, actor: Actor, tank_id: int, key: Held | int = Held.SALT) -> float | None:
    return tank_ledger(session, actor, tank_id).level(key, actor.now)


def test_a_dose_of_salt_is_known_at_once_and_can_be_taken_back(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank, salt = made.tank("T3", litres=60), made.substance()
    dose = log_dose(session, keeper, tank.id, salt.id, amount=90.0)
    assert dose.dosed_at == keeper.now
    assert level(session, keeper, tank.id) == pytest.approx(1.5)
    act = session.info["act"]
    assert act.words == "T3: 90 g table salt added"
    undo.undo(session, keeper, act.id)
    assert level(session, keeper, tank.id) == 0.0


def test_a_course_with_a_change_in_the_middle_is_re_dosed_exactly(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank, salt, rain = made.tank("T3", litres=60), made.substance(), made.water()
    day = timedelta(days=1)
    log_dose_to(session, keeper, tank.id, salt.id, level=1.5, at=keeper.now - 3 * day)
    second = log_dose_to(session, keeper, tank.id, salt.id, level=3.0, at=keeper.now - 2 * day)
    log_change(session, keeper, tank.id, [Pour(rain.id)], fraction=0.3, at=keeper.now - day)
    again = log_dose_to(session, keeper, tank.id, salt.id, level=3.0)
    assert second.amount == pytest.approx(90.0)
    assert again.amount == pytest.approx(0.3 * 3.0 * 60)
    assert level(session, keeper, tank.id) == pytest.approx(3.0)
    assert session.info["act"].words == "T3: 54 g table salt added, to 3 g/L"


def test_a_mineral_salt_brings_the_tank_to_a_hardness(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank, soft = made.tank(litres=100), made.water(gh_dh=2.0, kh_dh=1.0)
    gypsum = made.substance("gypsum", kind=SubstanceKind.MINERAL, formula="CaSO4·2H2O")
    log_change(session, keeper, tank.id, [Pour(soft.id)], fraction=1.0, at=keeper.now - timedelta(hours=1))
    dose = log_dose_to(session, keeper, tank.id, gypsum.id, level=6.0)
    assert dose.amount == pytest.approx(4.0 / 0.3257, rel=1e-3)  # 1 g in 100 L gives 0.3257 °dH
    assert level(session, keeper, tank.id, Held.GH) == pytest.approx(6.0)
    assert level(session, keeper, tank.id, Held.KH) == pytest.approx(1.0)


def test_baking_soda_is_dosed_to_a_carbonate_hardness(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank, soft = made.tank(litres=100), made.water(gh_dh=2.0, kh_dh=1.0)
    soda = made.substance("baking soda", kind=SubstanceKind.MINERAL, formula="NaHCO3")
    log_change(session, keeper, tank.id, [Pour(soft.id)], fraction=1.0, at=keeper.now - timedelta(hours=1))
    assert log_dose_to(session, keeper, tank.id, soda.id, level=6.0).amount == pytest.approx(14.98, abs=0.01)


def test_a_medicine_fades_by_its_half_life_and_is_topped_up_to_its_level(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank = made.tank(litres=50)
    drops = made.substance(
        "drops",
        kind=SubstanceKind.MEDICINE,
        measure=Measure.MILLILITRE,
        hazard=Hazard.DYE,
        half_life_days=2.0,
    )
    log_dose(session, keeper, tank.id, drops.id, amount=10.0, at=keeper.now - timedelta(days=2))
    assert level(session, keeper, tank.id, drops.id) == pytest.approx(0.1)
    assert log_dose_to(session, keeper, tank.id, drops.id, level=0.2).amount == pytest.approx(5.0)
    assert session.info["act"].words.endswith("5 mL drops added, to 20 mL per 100 L")


def test_what_a_dose_cannot_reach_is_refused_by_name(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank, salt = made.tank("T9", litres=50), made.substance()
    log_dose(session, keeper, tank.id, salt.id, amount=100.0)
    with pytest.raises(Refused, match="T9 holds 2 g/L already") as refused:
        log_dose_to(session, keeper, tank.id, salt.id, level=2.0)
    assert refused.value.field == "level"
    mix = made.substance("mix", kind=SubstanceKind.MINERAL)
    with pytest.raises(Refused, match="mix has no figure for GH"):
        log_dose_to(session, keeper, tank.id, mix.id, level=8.0)
    gypsum = made.substance("gypsum", kind=SubstanceKind.MINERAL, formula="CaSO4·2H2O")
    with pytest.raises(Refused, match="How much GH T9 holds is not known"):
        log_dose_to(session, keeper, tank.id, gypsum.id, level=8.0)


def test_impossible_doses_are_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank, salt = made.tank("T9", litres=50), made.substance()
    for amount in (0.0, -1.0, float("nan"), float("inf")):
        with pytest.raises(Refused, match="more than 0"):
            log_dose(session, keeper, tank.id, salt.id, amount=amount)
    with pytest.raises(Refused, match="60 g/L in the 50 L of T9, more than the sea"):
        log_dose(session, keeper, tank.id, salt.id, amount=3000.0)
    drops = made.substance("drops", kind=SubstanceKind.MEDICINE, label_dose_per_l=0.025)
    with pytest.raises(Refused, match="6 times the label's dose"):
        log_dose(session, keeper, tank.id, drops.id, amount=7.5)
    log_dose(session, keeper, tank.id, drops.id, amount=2.5)
    with pytest.raises(Refused, match=r"holds .* already"):
        log_dose_to(session, keeper, tank.id, drops.id, level=0.05)
    food = made.substance("leaves", kind=SubstanceKind.OTHER)
    with pytest.raises(Refused, match="more than the 50 L of T9 hold"):
        log_dose(session, keeper, tank.id, food.id, amount=60_000.0)
    with pytest.raises(Refused, match="still ahead"):
        log_dose(session, keeper, tank.id, salt.id, amount=1.0, at=keeper.now + timedelta(hours=1))
    retire_substance(session, keeper, salt.id)
    with pytest.raises(Refused, match="put away"):
        log_dose(session, keeper, tank.id, salt.id, amount=1.0, at=keeper.now)


def test_helpers_log_doses_and_readers_do_not(
    session: RoomSession, keeper: Actor, people: People, made: Made
) -> None:
    tank, salt = made.tank(), made.substance()
    log_dose(session, people.helper, tank.id, salt.id, amount=5.0)
    with pytest.raises(Forbidden):
        log_dose(session, people.reader, tank.id, salt.id, amount=5.0)
    assert len(rows(session, Dose, Dose.tank_id == tank.id)) == 1
    with pytest.raises(NotFound):
        log_dose(session, keeper, tank.id, 9999, amount=5.0)
