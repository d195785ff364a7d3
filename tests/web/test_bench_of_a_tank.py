"""The water bench with one of the keeper's tanks: what it begins with, and what is logged from it."""

import pytest

from app.core.water.ledger import Held
from app.queries.bench.tank import FILLS
from app.queries.ledger import tank_ledger
from app.services.doses import log_dose
from app.services.water_tests import log_test
from app.store.readings import Quantity
from app.store.waters import SubstanceKind
from tests.factories import Made
from tests.support.client import Visitor
from tests.web.test_bench import ask


def test_a_tank_fills_in_its_water_and_its_salt(visit: Visitor, made: Made) -> None:
    tank, salt = made.tank("T3", litres=60), made.substance()
    log_dose(made.session, made.actor, tank.id, salt.id, amount=90.0)
    made.session.commit()
    page = visit.open(f"/water-bench/salt?tank={tank.id}")
    assert "The answer" not in page.words
    assert (page.value("water"), page.value("now")) == ("60 L", "1.5 g/L")


def test_a_dose_reckoned_for_a_tank_is_logged_by_its_button(visit: Visitor, made: Made) -> None:
    tank, salt = made.tank("T3", litres=60), made.substance()
    tank.planted = True
    made.session.commit()
    page = ask(visit, "salt", tank=str(tank.id), water="60 L", target="3 g/L")
    assert "Salt harms most plants" in page.words
    assert "It is in: log 180 g table salt in T3" in page.words
    form = next(f for f in page.all("form") if f.get("action") == f"/tanks/{tank.id}/water/dose/{salt.id}")
    amount = next(i.get("value") for i in form.iter() if i.get("name") == "amount")
    visit.post(str(form.get("action")), amount=amount)
    assert tank_ledger(made.session, made.actor, tank.id).level(Held.SALT, made.actor.now) == 3.0


def test_a_course_in_steps_logs_the_first_day_alone(visit: Visitor, made: Made) -> None:
    tank = made.tank("T3", litres=60)
    made.substance()
    made.session.commit()
    page = ask(visit, "salt", tank=str(tank.id), water="60 L", target="3 g/L", most_per_day="1.5 g/L")
    assert "log 90 g table salt in T3" in page.words


def test_a_change_and_its_salt_are_offered_one_after_the_other(visit: Visitor, made: Made) -> None:
    tank = made.tank("T3", litres=60)
    made.substance()
    made.session.commit()
    page = ask(visit, "salt-top-up", tank=str(tank.id), water="60 L", before="3 g/L", change="30 %")
    assert "Log a change of 30 % in T3" in page.words
    assert "log 54 g table salt in T3" in page.words
    assert visit.open(f"/tanks/{tank.id}/water/change?volume=30+%25").value("volume") == "30 %"


def test_salts_that_are_not_on_the_shelf_are_to_be_added_first(visit: Visitor, made: Made) -> None:
    tank = made.tank("T3", litres=60)
    made.substance("soda", kind=SubstanceKind.MINERAL, formula="NaHCO3")
    made.session.commit()
    page = ask(visit, "minerals", tank=str(tank.id), water="60 L", wish_gh="5", wish_kh="4")
    assert "g soda in T3" in page.words
    assert "Add gypsum to your substances" in page.words


def test_a_product_is_known_by_its_label(visit: Visitor, made: Made) -> None:
    tank = made.tank("T3", litres=60)
    made.substance("mix", kind=SubstanceKind.MINERAL, gh_dh_per_unit_l=45.0, kh_dh_per_unit_l=15.0)
    made.session.commit()
    page = visit.open(f"/water-bench/label?tank={tank.id}")
    shown = {name: page.value(name) or "" for name in ("label_mass", "label_water", "label_gh", "label_kh")}
    assert shown == {
        "label_mass": "10 g",
        "label_water": "100 L",
        "label_gh": "4.5 °dH",
        "label_kh": "1.5 °dH",
    }
    answered = ask(visit, "label", tank=str(tank.id), water="60 L", rise="3 dH", **shown)
    assert "log 4 g mix in T3" in answered.words


def test_two_waters_and_the_last_nitrate_are_filled_in(visit: Visitor, made: Made) -> None:
    tank = made.tank("T3", litres=60)
    tap = made.water("Tap", gh_dh=12.0, kh_dh=6.0, nitrate_mg_per_l=8.0)
    made.water("Rain", gh_dh=0.0, kh_dh=0.0)
    log_test(made.session, made.actor, tank.id, {Quantity.NITRATE: 25.0})
    made.session.commit()
    blend = visit.open(f"/water-bench/blend?tank={tank.id}")
    assert (blend.value("first_gh"), blend.value("second_gh")) == ("12 °dH", "0 °dH")
    told = {name: blend.value(name) or "" for name in ("first_gh", "first_kh", "second_gh", "second_kh")}
    mixed = ask(visit, "blend", tank=str(tank.id), water="60 L", gh="9 dH", **told)
    way = next(a.get("href") or "" for a in mixed.all("a") if "/water/change" in (a.get("href") or ""))
    assert "Change water in T3 with Tap and 25 % Rain" in mixed.words
    change = visit.open(way)
    chosen = [one.get("value") for one in change.all("input") if one.get("checked") is not None]
    assert (change.value("second_share"), chosen) == ("25 %", [str(tap.id)])
    nitrate = visit.open(f"/water-bench/nitrate?tank={tank.id}")
    assert (nitrate.value("now"), nitrate.value("source")) == ("25", "8")


@pytest.mark.parametrize("key", FILLS)
def test_every_calculator_of_a_tank_opens_with_an_untouched_one(visit: Visitor, made: Made, key: str) -> None:
    tank = made.tank("T3", litres=60)
    made.session.commit()
    assert "Filled in from the water of T3" in visit.open(f"/water-bench/{key}?tank={tank.id}").words


def test_a_reader_may_reckon_for_a_tank_but_not_log(reading: Visitor, made: Made) -> None:
    tank = made.tank("T3", litres=60)
    made.substance()
    made.session.commit()
    page = ask(reading, "salt", tank=str(tank.id), water="60 L", target="3 g/L")
    assert "Add 180 g of salt" in page.words
    assert "It is in" not in page.words


def test_nobody_reckons_with_the_tank_of_another_fishroom(outsider: Visitor, made: Made) -> None:
    tank = made.tank()
    made.session.commit()
    outsider.open(f"/water-bench/salt?tank={tank.id}", expect=404)
    outsider.open("/water-bench/salt?tank=none", expect=200)


def test_ammonia_begins_with_the_last_tests_and_offers_the_change_it_asks_for(
    visit: Visitor, made: Made
) -> None:
    tank = made.tank("T3", litres=60)
    tested = {Quantity.AMMONIA: 1.2, Quantity.PH: 8.4, Quantity.TEMPERATURE: 26.0}
    log_test(made.session, made.actor, tank.id, tested)
    made.session.commit()
    page = visit.open(f"/water-bench/ammonia?tank={tank.id}")
    filled = {name: page.value(name) for name in ("shown", "ph", "temperature")}
    assert filled == {"shown": "1.2", "ph": "8.4", "temperature": "26 °C"}
    page = ask(visit, "ammonia", tank=str(tank.id), **{name: str(value) for name, value in filled.items()})
    assert "Harmful" in page.words
    assert "Log a change of 33.3 % in T3" in page.words
    harmless = ask(visit, "ammonia", tank=str(tank.id), shown="0.1 mg/L", ph="7", temperature="25 C")
    assert "Log a change" not in harmless.words


def test_a_series_of_changes_leads_on_to_the_plan_back_to_plain_water(visit: Visitor, made: Made) -> None:
    tank, salt = made.tank("T3", litres=60), made.substance()
    made.session.commit()
    asked = {"tank": str(tank.id), "change": "40 %", "times": "3"}
    assert "Plan the days back" not in ask(visit, "changes", **asked).words
    log_dose(made.session, made.actor, tank.id, salt.id, amount=90.0)
    made.session.commit()
    assert "Plan the days back to plain water" in ask(visit, "changes", **asked).words
