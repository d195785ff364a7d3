"""The pages of cases, courses, plans and photos, as a keeper uses them."""

from datetime import timedelta
from io import BytesIO
from pathlib import Path

import pytest
from flask import Flask
from freezegun import freeze_time

from app.services import cases
from app.services.cases import Ending, Subject
from app.store.cases import Ailing, Case, CaseOutcome, CasePhoto, CaseSign
from app.store.fish import Fish
from app.store.plans import Plan, PlanKind, PlanStep
from app.store.session import rows
from app.store.stays import Stay
from app.store.tanks import Section
from app.store.waters import Dose, Substance, WaterChange
from tests.factories import Made
from tests.services.test_cases import opened
from tests.services.test_courses import Bench, at_strength
from tests.services.test_pictures import from_a_phone, picture
from tests.support.client import Page, Visitor


@pytest.fixture(autouse=True)
def folder(app: Flask, tmp_path: Path) -> Path:
    """Photos of these tests lie in a folder of their own."""
    app.config["PICTURES"] = tmp_path
    return tmp_path


def case_of(made: Made) -> Case:
    case = opened(made)
    made.session.commit()
    return case


def test_an_empty_list_says_what_a_case_is_for(visit: Visitor) -> None:
    assert "what worked is found here" in visit.open("/cases").words


def test_a_case_is_opened_from_a_fish(visit: Visitor, made: Made) -> None:
    dam = made.dam()
    made.session.commit()
    assert f"/cases/new?fish={dam.id}" in visit.open(f"/broodstock/{dam.id}").text
    page = visit.send(
        f"/cases/new?fish={dam.id}", signs=["cotton-like tufts", "off food"], opened_on="2026-06-15"
    )
    assert "Cotton-like tufts and off food" in page.words
    assert "Cotton-like tufts since 15 June" in page.words


def test_whoever_names_nobody_chooses(visit: Visitor, made: Made) -> None:
    batch, tank = made.batch(), made.tank("Rack 9")
    made.session.commit()
    page = visit.open("/cases/new")
    assert f"/cases/new?batch={batch.id}" in page.text
    assert f"/cases/new?tank={tank.id}" in page.text


def test_a_case_without_a_sign_is_asked_for_one(visit: Visitor, made: Made) -> None:
    tank = made.tank("Rack 9")
    made.session.commit()
    page = visit.send(f"/cases/new?tank={tank.id}", opened_on="2026-06-15", suspected="cold snap")
    assert page.status == 422
    assert "Tick at least one sign" in page.words
    assert page.value("suspected") == "cold snap"


def test_an_open_case_is_pointed_out_before_another(visit: Visitor, made: Made) -> None:
    case = case_of(made)
    assert "A case is open already" in visit.open(f"/cases/new?fish={case.fish_id}").words


def test_signs_come_and_go_on_the_page(visit: Visitor, made: Made) -> None:
    case = case_of(made)
    page = visit.post(f"/cases/{case.id}/signs", kind="clamped fins", seen_on="2026-06-15")
    assert "Clamped fins since 15 June" in page.words
    sign = rows(made.session, CaseSign, CaseSign.kind == Ailing.CLAMPED_FINS)[0]
    page = visit.post(f"/cases/signs/{sign.id}/gone")
    assert "Clamped fins gone on 15 June" in page.words


def test_a_sign_that_is_there_already_is_refused_in_words(visit: Visitor, made: Made) -> None:
    case = case_of(made)
    page = visit.post(f"/cases/{case.id}/signs", kind="off food", seen_on="2026-06-15")
    assert page.status == 422
    assert "not gone yet" in page.words


def test_a_case_is_corrected(visit: Visitor, made: Made) -> None:
    case = case_of(made)
    page = visit.send(f"/cases/{case.id}/edit", title="Tuft on her tail", opened_on="2026-06-09")
    assert "Tuft on her tail" in page.words


def test_a_case_is_closed_searched_for_and_opened_again(visit: Visitor, made: Made) -> None:
    case = case_of(made)
    page = visit.send(
        f"/cases/{case.id}/close", outcome="recovered", on="2026-06-15", what_helped="Salt, and warmth"
    )
    assert "Salt, and warmth" in page.words
    assert "Salt, and warmth" in visit.open("/cases?words=warmth&outcome=recovered").words
    assert "Nothing is like that" in visit.open("/cases?outcome=died").words
    assert "Nothing is like that" in visit.open("/cases?sign=off+food&words=nonesuch").words
    assert "opened again" in visit.post(f"/cases/{case.id}/reopen").words


def test_a_fish_that_died_leaves_unless_the_tick_is_taken_out(visit: Visitor, made: Made) -> None:
    first, second = case_of(made), case_of(made)
    visit.send(f"/cases/{first.id}/close", outcome="died", on="2026-06-15", leaves="y")
    visit.send(f"/cases/{second.id}/close", outcome="died", on="2026-06-15")
    made.session.expire_all()
    left = [made.session.get_one(Fish, case.fish_id).left_on for case in (first, second)]
    assert left == [made.actor.today, None]


def test_killing_is_left_to_a_vets_guidance(visit: Visitor, made: Made) -> None:
    assert "veterinary guidance" in visit.open(f"/cases/{case_of(made).id}/close").words


def test_a_reader_sees_a_case_and_no_buttons(reading: Visitor, made: Made) -> None:
    page = reading.open(f"/cases/{case_of(made).id}")
    assert "Plan a course" not in page.words
    assert "Cotton-like tufts" in page.words


def send_photo(visitor: Visitor, case_id: int, upload: bytes, **more: str) -> Page:
    token = visitor.open(f"/cases/{case_id}").token
    data = {"csrf_token": token, "taken_on": "2026-06-15", "photo": (BytesIO(upload), "fin.jpg"), **more}
    return Page(
        visitor.app, visitor.client.post(f"/cases/{case_id}/photos", data=data, follow_redirects=True)
    )


def test_a_photo_is_kept_small_and_bare_and_given_to_members_only(
    visit: Visitor, outsider: Visitor, reading: Visitor, made: Made
) -> None:
    case = case_of(made)
    page = send_photo(visit, case.id, from_a_phone(), note="The tail")
    photo = rows(made.session, CasePhoto)[0]
    assert f"/cases/photos/{photo.id}" in page.text
    answer = visit.client.get(f"/cases/photos/{photo.id}")
    assert (answer.status_code, answer.mimetype) == (200, "image/jpeg")
    assert "private" in answer.headers["Cache-Control"]
    assert b"Exif" not in answer.data
    assert reading.client.get(f"/cases/photos/{photo.id}").status_code == 200
    assert outsider.client.get(f"/cases/photos/{photo.id}").status_code == 404


def test_a_photo_whose_file_is_gone_is_not_found(visit: Visitor, made: Made, folder: Path) -> None:
    send_photo(visit, case_of(made).id, picture())
    next(folder.rglob("*.jpg")).unlink()
    assert visit.client.get(f"/cases/photos/{rows(made.session, CasePhoto)[0].id}").status_code == 404


def test_what_is_no_photo_is_refused_in_words(visit: Visitor, made: Made) -> None:
    page = send_photo(visit, case_of(made).id, b"<svg onload='alert(1)'/>")
    assert page.status == 422
    assert "no photo that can be read" in page.words
    assert not rows(made.session, CasePhoto)


def test_the_form_of_a_photo_opens_the_camera(visit: Visitor, made: Made) -> None:
    page = visit.open(f"/cases/{case_of(made).id}")
    field = next(each for each in page.all("input") if each.get("name") == "camera")
    assert (field.get("accept"), field.get("capture")) == ("image/*", "environment")


def test_a_photo_is_taken_out_and_put_back(visit: Visitor, made: Made) -> None:
    case = case_of(made)
    send_photo(visit, case.id, picture())
    photo = rows(made.session, CasePhoto)[0]
    page = visit.post(f"/cases/photos/{photo.id}/remove")
    assert "taken out" in page.words
    undo = next(f.get("action") or "" for f in page.all("form") if "/undo" in (f.get("action") or ""))
    visit.post(undo)
    assert visit.client.get(f"/cases/photos/{photo.id}").status_code == 200


@pytest.fixture
def bench(made: Made) -> Bench:
    """A tank of 48 litres with a case, salt, a medicine and tap water."""
    built = Bench(made)
    made.session.commit()
    return built


def test_a_course_is_looked_over_before_it_is_saved(visit: Visitor, bench: Bench) -> None:
    url = f"/cases/{bench.case.id}/course"
    told = {"tank_id": str(bench.tank.id), "levels": "1.5, 3", "every_days": "1", "hold_days": "7"}
    look = visit.send(url, start="2026-06-15", **told)
    assert "Nothing is saved yet" in look.words
    assert "72 g" in look.words
    assert not rows(bench.session, Plan)
    looked = look.value("looked") or ""
    saved = visit.post(f"{url}?substance={bench.salt.id}", url, start="2026-06-15", looked=looked, **told)
    assert "Raise table salt to 1.5 g/L" in saved.words
    assert len(rows(bench.session, PlanStep)) == 3


def test_table_salt_needs_no_telling_beforehand(visit: Visitor, made: Made) -> None:
    case = case_of(made)
    url = f"/cases/{case.id}/course"
    tank_id = str(tank_of(made, case))
    told = {"tank_id": tank_id, "levels": "2", "every_days": "1", "hold_days": "5", "start": "2026-06-15"}
    look = visit.send(url, **told)
    assert not rows(made.session, Substance)
    visit.post(url, url, looked=look.value("looked") or "", **told)
    assert [one.name for one in rows(made.session, Substance)] == ["table salt"]


def tank_of(made: Made, case: Case) -> int:
    """Return the tank where the fish of a case stands."""
    stay = rows(made.session, Stay, Stay.fish_id == case.fish_id)[0]
    return made.session.get_one(Section, stay.section_id).tank_id


def test_a_medicine_is_dosed_by_its_label_with_its_cautions(visit: Visitor, bench: Bench) -> None:
    url = f"/cases/{bench.case.id}/course?substance={bench.medicine.id}"
    look = visit.send(
        url,
        tank_id=str(bench.tank.id),
        label_amount="2",
        label_litres="40 L",
        times="3",
        every_days="2",
        hold_days="1",
        start="2026-06-15",
    )
    assert "2.4 mL" in look.words
    assert "Wear gloves" in look.words
    assert "The label comes first" in look.words


def test_falling_levels_are_refused_on_their_field(visit: Visitor, bench: Bench) -> None:
    page = visit.send(
        f"/cases/{bench.case.id}/course",
        tank_id=str(bench.tank.id),
        levels="3, 1.5",
        every_days="1",
        hold_days="7",
        start="2026-06-15",
    )
    assert page.status == 422
    assert "rising levels" in page.words
    assert page.value("levels") == "3, 1.5"


def running(bench: Bench) -> PlanStep:
    """Return the first step of a course that begins today."""
    plan = bench.plan()
    bench.session.commit()
    return bench.steps(plan)[0]


def test_a_step_shows_the_exact_dose_and_logs_it(visit: Visitor, bench: Bench) -> None:
    step = running(bench)
    assert f"/plans/steps/{step.id}" in visit.open("/").text
    page = visit.open(f"/plans/steps/{step.id}")
    assert "Add 72 g of table salt" in page.words
    assert page.value("amount") == "72"
    done = visit.send(f"/plans/steps/{step.id}", amount="72", on="2026-06-15")
    assert "72 g table salt added" in done.words
    assert rows(bench.session, Dose)[0].amount == pytest.approx(72.0)


def test_a_step_is_skipped(visit: Visitor, bench: Bench) -> None:
    step = running(bench)
    assert "skipped" in visit.post(f"/plans/steps/{step.id}/skip").words


def test_a_change_in_the_middle_is_put_back_to_the_gram(visit: Visitor, bench: Bench) -> None:
    plan = at_strength(bench)
    bench.change(0.3)
    bench.session.commit()
    with freeze_time(bench.actor.now + timedelta(minutes=1)):
        assert (
            "The 30 % change took 43 g of table salt: add 43 g to be back at 3 g/L" in visit.open("/").words
        )
        page = visit.send(f"/plans/{plan.id}/put-back", amount="43.2", on="2026-06-17")
        assert "43.2 g table salt put back" in page.words
        assert "took 43 g" not in visit.open("/").words
    assert rows(bench.session, Dose)[-1].amount == pytest.approx(43.2)


def test_what_lacks_nothing_says_so(visit: Visitor, bench: Bench) -> None:
    step = running(bench)
    assert "lacks nothing" in visit.open(f"/plans/{step.plan_id}/put-back").words


def test_a_tank_goes_back_to_plain_water_by_changes_on_their_days(visit: Visitor, bench: Bench) -> None:
    at_strength(bench)
    bench.session.commit()
    with freeze_time(bench.actor.now + timedelta(minutes=1)):
        url = f"/tanks/{bench.tank.id}/plain-water"
        told = {"fraction": "40 %", "every_days": "2", "source_id": str(bench.tap.id), "target": "0.1"}
        look = visit.send(url, start="2026-06-17", **told)
        assert "7 changes, done on 29 June" in look.words
        assert "A steep fall" not in look.words  # 3 to 1.8 g/L
        steep = visit.send(url, start="2026-06-17", **{**told, "fraction": "60 %"})
        assert "A steep fall" in steep.words  # 3 to 1.2 g/L
        page = visit.post(url, url, start="2026-06-17", looked=look.value("looked") or "", **told)
        assert "Change 40 % of the water, to 1.8 g/L" in page.words
        plan = rows(bench.session, Plan, Plan.kind == PlanKind.DESALTING)[0]
        first = bench.steps(plan)[0]
        done = visit.send(f"/plans/steps/{first.id}", source_id=str(bench.tap.id), on="2026-06-17")
        assert "40 % of the water changed" in done.words
    assert rows(bench.session, WaterChange)[-1].litres == pytest.approx(19.2)


def test_a_closed_case_tells_of_the_salt_it_left_and_leads_back_to_plain_water(
    visit: Visitor, bench: Bench
) -> None:
    at_strength(bench)
    ending = Ending(bench.actor.today, CaseOutcome.RECOVERED)
    cases.close_case(bench.session, bench.actor, bench.case.id, ending)
    bench.session.commit()
    with freeze_time(bench.actor.now + timedelta(minutes=1)):
        page = visit.open(f"/cases/{bench.case.id}")
    assert "still holds 3 g/L of salt" in page.words
    assert any("/plain-water" in (a.get("href") or "") for a in page.all("a"))


def test_plain_water_needs_no_plan(visit: Visitor, bench: Bench) -> None:
    assert "no salt to take out" in visit.open(f"/tanks/{bench.tank.id}/plain-water").words


def test_a_plan_is_ended(visit: Visitor, bench: Bench) -> None:
    step = running(bench)
    visit.open(f"/plans/{step.plan_id}")
    page = visit.post(f"/plans/{step.plan_id}/end", on="2026-06-15", outcome="not needed after all")
    assert "ended on 15 June" in page.words


def test_a_tank_offers_a_case_and_shows_what_runs(visit: Visitor, bench: Bench) -> None:
    running(bench)
    page = visit.open(f"/tanks/{bench.tank.id}")
    assert f"/cases/new?tank={bench.tank.id}" in page.text
    assert f"/cases/{bench.case.id}" in page.text
    assert "raise table salt to 1.5 g/L" in page.words


def test_the_fish_page_leads_to_its_open_case(visit: Visitor, made: Made) -> None:
    case = case_of(made)
    page = visit.open(f"/broodstock/{case.fish_id}")
    assert f"/cases/{case.id}" in page.text
    cases.close_case(
        made.session, made.actor, case.id, Ending(made.actor.today, CaseOutcome.RECOVERED, "Rest")
    )
    made.session.commit()
    assert "case open" not in visit.open(f"/broodstock/{case.fish_id}").words


def test_a_fish_tells_of_its_case_in_its_history(visit: Visitor, made: Made) -> None:
    case = case_of(made)
    visit.send(f"/cases/{case.id}/close", outcome="recovered", on="2026-06-15", what_helped="Rest")
    words = visit.open(f"/broodstock/{case.fish_id}").words
    assert "Case opened: Cotton-like tufts and off food" in words
    assert "Case closed: Cotton-like tufts and off food, recovered" in words


def test_a_batch_and_a_tank_tell_of_theirs(visit: Visitor, made: Made) -> None:
    batch, tank = made.batch(), made.tank("Rack 9")
    opened(made, Subject(batch_id=batch.id))
    opened(made, Subject(tank_id=tank.id))
    made.session.commit()
    page = visit.open(f"/batches/{batch.id}")
    assert f"/cases/new?batch={batch.id}" in page.text
    assert "Case opened" in page.words
    assert "Case opened" in visit.open(f"/tanks/{tank.id}").words


def test_a_labels_dose_that_was_told_stands_in_the_form(visit: Visitor, bench: Bench) -> None:
    bench.medicine.label_dose_per_l = 0.025
    bench.session.commit()
    page = visit.open(f"/cases/{bench.case.id}/course?substance={bench.medicine.id}")
    assert (page.value("label_amount"), page.value("label_litres")) == ("2.5", "100 L")


def test_the_form_of_a_course_stays_with_what_was_chosen(visit: Visitor, bench: Bench) -> None:
    url = f"/cases/{bench.case.id}/course?substance={bench.medicine.id}"
    page = visit.open(url)
    assert url in [form.get("action") for form in page.all("form")]
    (current,) = [link.get("href") for link in page.all("a") if link.get("aria-current")]
    assert current == url
