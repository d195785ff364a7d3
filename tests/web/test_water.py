"""The pages of one tank's water."""

from datetime import timedelta

import pytest

from app.core.loggers import Sent
from app.core.water.ledger import Held
from app.queries.ledger import tank_ledger
from app.services import loggers
from app.services.doses import log_dose
from app.services.water_changes import Pour, log_change
from app.services.water_tests import log_test
from app.store.readings import Quantity, Reading
from app.store.session import rows
from app.store.tanks import Tank
from app.store.waters import Dose, Hazard, Measure, SubstanceKind, WaterChange
from app.web.forms.water import UNTOLD
from tests.factories import Made
from tests.support.client import Visitor


@pytest.fixture
def tank(made: Made) -> Tank:
    found = made.tank("T3", litres=60)
    made.session.commit()
    return found


def level(made: Made, tank: Tank, key: Held | int = Held.SALT) -> float | None:
    return tank_ledger(made.session, made.actor, tank.id).level(key, made.actor.now)


def test_an_untouched_water_teaches(visit: Visitor, tank: Tank) -> None:
    page = visit.open(f"/tanks/{tank.id}/water")
    assert "Nothing logged about this water yet" in page.words


def test_a_change_is_logged_by_share_with_a_blend_and_taken_back(
    visit: Visitor, made: Made, tank: Tank
) -> None:
    tap, rain = made.water("Tap", gh_dh=12.0), made.water("Rain", gh_dh=0.0)
    made.session.commit()
    page = visit.send(
        f"/tanks/{tank.id}/water/change",
        volume="100 %",
        source_id=str(tap.id),
        second_id=str(rain.id),
        second_share="75 %",
    )
    assert "100 % (60 L) changed with Tap and Rain" in page.words
    assert level(made, tank, Held.GH) == pytest.approx(3.0)
    again = visit.open(f"/tanks/{tank.id}/water/change")
    assert (again.value("volume"), again.value("second_share")) == ("100 %", "75 %")


def test_a_bare_number_is_asked_about_and_nothing_is_lost(visit: Visitor, tank: Tank) -> None:
    page = visit.send(f"/tanks/{tank.id}/water/change", volume="30", note="by the door")
    assert page.status == 422
    assert "30 of what? Write 30 % or 30 L" in page.words
    assert page.value("note") == "by the door"
    more = visit.send(f"/tanks/{tank.id}/water/change", volume="80 L")
    assert "80 L is more than T3 holds (60 L)" in more.words


def test_a_blend_is_told_whole_or_refused(visit: Visitor, made: Made, tank: Tank) -> None:
    rain, tap = made.water("Rain"), made.water("Tap")
    path = f"/tanks/{tank.id}/water/change"
    share = visit.send(path, volume="80 %", source_id=str(tap.id), third_share="40 %")
    assert "Which water is that a share of?" in share.words
    untold = visit.send(path, volume="80 %", source_id=UNTOLD, second_id=str(rain.id), second_share="40 %")
    assert "Say which the first water is" in untold.words
    half = visit.send(path, volume="80 %", source_id=str(tap.id), second_id=str(rain.id), second_share="0,5")
    assert "0,5 of what? Write 50 %" in half.words
    assert {page.status for page in (share, untold, half)} == {422}


def test_water_that_was_not_told_is_said_to_be_so(visit: Visitor, made: Made, tank: Tank) -> None:
    page = visit.send(f"/tanks/{tank.id}/water/change", volume="50 %")
    assert "water not told" in page.words
    assert "Test Salt, GH and KH" in page.words
    assert level(made, tank) is None


def test_a_top_up_keeps_the_salt(visit: Visitor, made: Made, tank: Tank) -> None:
    rain, salt = made.water("Rain"), made.substance()
    log_dose(made.session, made.actor, tank.id, salt.id, amount=60.0, at=made.actor.now - timedelta(hours=1))
    made.session.commit()
    page = visit.send(f"/tanks/{tank.id}/water/top-up", volume="3 L", source_id=str(rain.id))
    assert "Topped up by 3 L with Rain" in page.words
    assert level(made, tank) == pytest.approx(1.0)


def test_a_dose_by_spoon_and_a_dose_to_a_level(visit: Visitor, made: Made, tank: Tank) -> None:
    salt = made.substance()
    made.session.commit()
    path = f"/tanks/{tank.id}/water/dose/{salt.id}"
    assert "table salt" in visit.open(f"/tanks/{tank.id}/water/dose").words
    page = visit.send(path, amount="1 tbsp")
    assert "18 g table salt added" in page.words
    reckoned = visit.post(path, path, level="3 g/L", reckon="1")
    assert "Add 162 g to reach 3 g/L" in reckoned.words
    assert len(rows(made.session, Dose)) == 1
    visit.send(path, level="3 g/L")
    assert level(made, tank) == pytest.approx(3.0)


def test_a_dose_needs_one_of_amount_and_level(visit: Visitor, made: Made, tank: Tank) -> None:
    salt = made.substance()
    made.session.commit()
    path = f"/tanks/{tank.id}/water/dose/{salt.id}"
    assert "more than 0" in visit.send(path).words
    assert "not both" in visit.send(path, amount="5 g", level="1 g/L").words
    assert "Which level is wanted?" in visit.post(path, path, reckon="1").words
    assert "is not an amount" in visit.send(path, amount="a bit").words
    assert not rows(made.session, Dose)


def test_a_medicine_shows_its_cautions_its_label_and_who_else_lives_there(visit: Visitor, made: Made) -> None:
    tank = made.tank("Jungle", litres=40)
    tank.invertebrates = True
    drops = made.substance(
        "blue drops",
        kind=SubstanceKind.MEDICINE,
        measure=Measure.MILLILITRE,
        hazard=Hazard.DYE,
        label_dose_per_l=0.025,
    )
    made.session.commit()
    path = f"/tanks/{tank.id}/water/dose/{drops.id}"
    words = visit.open(path).words
    for said in ("Wear gloves", "label comes first", "Snails and shrimps", "Unplug", "never into a pond"):
        assert said in words
    assert "2.5 mL per 100 L: 1 mL here" in words
    page = visit.send(path, level="1 mL per 40 L")
    assert "1 mL blue drops added" in page.words
    assert "2.5 mL per 100 L" in page.words


def test_a_water_test_reads_several_values_and_what_the_kit_counts(
    visit: Visitor, made: Made, tank: Tank
) -> None:
    page = visit.send(
        f"/tanks/{tank.id}/water/test",
        ph="8",
        gh_dh="9",
        ammonia="1.2159",
        ammonia_kit="NH3",
        nitrite_kit="NO2",
        nitrate="4.5",
        nitrate_kit="N",
        salinity="SG 1.001513",
        temperature_c="25",
    )
    found = {one.quantity: one.value for one in rows(made.session, Reading)}
    assert found[Quantity.AMMONIA] == pytest.approx(1.0, abs=1e-3)
    assert found[Quantity.NITRATE] == pytest.approx(19.92, abs=0.01)
    assert found[Quantity.SALINITY] == pytest.approx(2.0, abs=0.02)  # published: 2 g/kg at 25/25 °C
    assert Quantity.NITRITE not in found
    assert "Harmful" in page.words
    assert "un-ionised" in page.words


def test_an_impossible_value_is_refused_where_it_was_typed(visit: Visitor, tank: Tank, made: Made) -> None:
    page = visit.send(f"/tanks/{tank.id}/water/test", ph="74", gh_dh="9")
    assert page.status == 422
    assert "pH of 74 cannot be" in page.words
    assert page.value("gh_dh") == "9"
    assert not rows(made.session, Reading)


def test_up_to_four_waters_are_poured_and_what_no_share_tells_is_shared_alike(
    visit: Visitor, made: Made, tank: Tank
) -> None:
    tap, rain, well, mix = (
        made.water(name, gh_dh=gh) for name, gh in (("Tap", 16.0), ("Rain", 0.0), ("Well", 8.0), ("Mix", 4.0))
    )
    made.session.commit()
    path = f"/tanks/{tank.id}/water/change"
    page = visit.send(
        path,
        volume="100 %",
        source_id=str(tap.id),
        second_id=str(rain.id),
        second_share="40 %",
        third_id=str(well.id),
        third_share="",
        fourth_id=str(mix.id),
        fourth_share="20 %",
    )
    assert "with Tap, Rain, Well and Mix" in page.words
    assert level(made, tank, Held.GH) == pytest.approx(0.2 * 16 + 0.2 * 8 + 0.2 * 4)
    again = visit.open(path)
    assert [again.value(f"{name}_share") for name in ("second", "third", "fourth")] == [
        "40 %",
        "20 %",
        "20 %",
    ]


def test_shares_that_leave_nothing_of_the_first_water_are_refused(
    visit: Visitor, made: Made, tank: Tank
) -> None:
    tap, rain, well = made.water("Tap"), made.water("Rain"), made.water("Well")
    made.session.commit()
    blend = {
        "second_id": str(rain.id),
        "second_share": "60 %",
        "third_id": str(well.id),
        "third_share": "40 %",
    }
    page = visit.send(f"/tanks/{tank.id}/water/change", volume="20 %", source_id=str(tap.id), **blend)
    assert page.status == 422
    assert "leave nothing of the first water" in page.words
    assert "third_share-error" in {p.get("id") for p in page.all("p")}
    assert page.value("third_share") == "40 %"


def test_a_disagreement_is_said_and_the_test_can_be_followed(visit: Visitor, made: Made, tank: Tank) -> None:
    salt, before = made.substance(), made.actor.now - timedelta(days=2)
    log_dose(made.session, made.actor, tank.id, salt.id, amount=180.0, at=before)
    test = log_test(made.session, made.actor, tank.id, {Quantity.SALINITY: 2.64})[0]
    made.session.commit()
    page = visit.open(f"/tanks/{tank.id}/water")
    assert "12 % lower than the ledger says: was a change not logged?" in page.words
    assert "the ledger said 3 g/L" in page.words
    assert "By the ledger: salt 3 g/L. Salt: 12 % lower than the ledger says" in page.words
    page = visit.post(f"/readings/{test.id}/trust")
    assert "the ledger follows the test" in page.words
    assert "12 % lower" not in page.words
    assert level(made, tank) == pytest.approx(2.64)


def test_a_logger_does_not_hide_how_the_last_test_by_hand_stood(
    visit: Visitor, made: Made, tank: Tank
) -> None:
    salt, now = made.substance(), made.actor.now
    log_dose(made.session, made.actor, tank.id, salt.id, amount=180.0, at=now - timedelta(days=3))
    log_test(made.session, made.actor, tank.id, {Quantity.SALINITY: 2.64}, at=now - timedelta(days=1))
    token = loggers.add_logger(made.session, made.actor, name="Probe", tank_id=tank.id)
    heard = loggers.heard(made.session, token, now)
    assert heard is not None
    loggers.store_sent(
        made.session, heard.actor, heard.logger_id, [Sent(None, "salinity", 2.97, now - timedelta(hours=1))]
    )
    made.session.commit()
    page = visit.open(f"/tanks/{tank.id}/water")
    assert "tested 2.64 g/L yesterday; the ledger said 3 g/L" in page.words
    assert "a logger showed 2.97 g/L today, as expected" in page.words
    assert "12 % lower than the ledger says" in page.words


def test_the_history_tells_what_each_thing_moved_and_draws_the_salt(
    visit: Visitor, made: Made, tank: Tank
) -> None:
    salt, rain, now = made.substance(), made.water("Rain"), made.actor.now
    log_dose(made.session, made.actor, tank.id, salt.id, amount=180.0, at=now - timedelta(days=4))
    log_change(made.session, made.actor, tank.id, [Pour(rain.id)], fraction=0.3, at=now - timedelta(days=2))
    made.session.commit()
    page = visit.open(f"/tanks/{tank.id}/water?span=year")
    assert "salt 0 → 3 g/L" in page.words
    assert "salt 3 → 2.1 g/L" in page.words
    assert "The numbers as a table" in page.words


def test_a_reader_sees_the_water_but_no_forms(reading: Visitor, tank: Tank) -> None:
    page = reading.open(f"/tanks/{tank.id}/water")
    assert "Change water" not in page.words
    reading.open(f"/tanks/{tank.id}/water/change", expect=403)
    reading.open(f"/tanks/{tank.id}/water/test", expect=403)


def test_a_helper_logs_and_a_stranger_finds_nothing(
    helping: Visitor, outsider: Visitor, made: Made, tank: Tank
) -> None:
    assert helping.send(f"/tanks/{tank.id}/water/change", volume="10 %").status == 200
    assert len(rows(made.session, WaterChange)) == 1
    for path in ("", "/change", "/top-up", "/dose", "/test"):
        outsider.open(f"/tanks/{tank.id}/water{path}", expect=404)
