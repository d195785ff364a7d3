"""The tank pages."""

from app.store.session import rows
from app.store.tanks import Section, Tank
from tests.factories import Made
from tests.support.client import Visitor


def test_a_tank_is_put_up_by_its_gallons(visit: Visitor) -> None:
    page = visit.send("/tanks/new", name="Rack 1", litres="10 gal", sections="2")
    assert "Tank Rack 1" in page.words
    assert "37.9 L" in page.words


def test_nothing_typed_is_lost_on_a_refused_tank(visit: Visitor) -> None:
    page = visit.send("/tanks/new", name="Rack 1", litres="a lot", sections="2", note="by the door")
    assert page.status == 422
    assert page.value("litres") == "a lot"
    assert page.value("name") == "Rack 1"


def test_a_stranger_finds_no_tank(outsider: Visitor, made: Made) -> None:
    tank = made.tank()
    made.session.commit()
    outsider.open(f"/tanks/{tank.id}", expect=404)


def test_without_sign_in_the_way_leads_to_the_door(visit: Visitor) -> None:
    answer = visit.app.test_client().get("/tanks")
    assert answer.status_code == 303
    assert answer.headers["Location"].startswith("/sign-in")


def test_a_tank_is_changed_on_its_own_form(visit: Visitor, made: Made) -> None:
    tank = made.tank("Rack 1", 54)
    made.session.commit()
    form = visit.open(f"/tanks/{tank.id}/edit")
    assert form.value("name") == "Rack 1"
    assert form.value("litres") == "54 L"
    page = visit.send(f"/tanks/{tank.id}/edit", name="Rack 2", litres="60", position="1", set_point_c="77 F")
    assert "Tank Rack 2" in page.words
    made.session.refresh(tank)
    assert (tank.litres, tank.set_point_c) == (60.0, 25.0)


def test_a_change_that_is_refused_keeps_what_was_typed(visit: Visitor, made: Made) -> None:
    tank = made.tank("Rack 1")
    made.tank("Rack 2")
    made.session.commit()
    page = visit.send(f"/tanks/{tank.id}/edit", name="rack 2", litres="60 L", position="1")
    assert page.status == 422
    assert page.value("name") == "rack 2"
    assert "There is a tank rack 2 already" in page.words


def test_a_fry_box_is_hung_in_and_taken_out(visit: Visitor, made: Made) -> None:
    tank = made.tank("Rack 1")
    made.session.commit()
    page = visit.post(f"/tanks/{tank.id}/sections", name="box", kind="fry box", gap_mm="2 mm")
    assert "Section box added to Rack 1" in page.words
    box = rows(made.session, Section, Section.tank_id == tank.id)[-1]
    assert "taken out of Rack 1" in visit.post(f"/sections/{box.id}/close").words
    made.session.refresh(box)
    assert box.closed_on == made.actor.today


def test_a_section_without_a_name_is_refused(visit: Visitor, made: Made) -> None:
    tank = made.tank("Rack 1")
    made.session.commit()
    assert visit.post(f"/tanks/{tank.id}/sections", name=" ", kind="fry box").status == 422
    assert len(rows(made.session, Section, Section.tank_id == tank.id)) == 1


def test_a_tank_with_fish_is_not_taken_down(visit: Visitor, made: Made) -> None:
    section = made.section(made.tank("Rack 1"))
    made.dam(section=section)
    made.session.commit()
    page = visit.post(f"/tanks/{section.tank_id}/close")
    assert "Not saved" in page.words or "Move" in page.words
    assert made.session.get_one(Tank, section.tank_id).closed_on is None


def test_an_empty_tank_is_taken_down(visit: Visitor, made: Made) -> None:
    tank = made.tank("Rack 1")
    made.session.commit()
    visit.post(f"/tanks/{tank.id}/close")
    made.session.refresh(tank)
    assert tank.closed_on == made.actor.today
    assert "Rack 1" not in [e.text for e in visit.open("/tanks").all("h2")]
