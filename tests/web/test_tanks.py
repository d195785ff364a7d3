"""The tank pages."""

import re

from app.services import readings, stays
from app.store.session import rows
from app.store.stays import Stay
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
    wide = visit.post(f"/tanks/{tank.id}/gap", f"/tanks/{tank.id}", of_section=str(box.id), new_gap="500 mm")
    assert "A gap of 500 mm parts nothing" in wide.words
    page = visit.post(f"/tanks/{tank.id}/gap", f"/tanks/{tank.id}", of_section=str(box.id), new_gap="1.5 mm")
    assert "box of Rack 1: gaps up to 1.5 mm" in page.words
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


def test_the_list_marks_free_tanks_and_says_who_stands_where(visit: Visitor, made: Made) -> None:
    made.dam(section=made.section(made.tank("Busy")))
    made.tank("Empty")
    made.session.commit()
    words = visit.open("/tanks").words
    assert "2 tanks in walking order, 1 free" in words
    assert "1 dam" in words
    assert "Nobody stands here" in words


def test_an_empty_list_leads_to_the_first_tank(visit: Visitor, reading: Visitor) -> None:
    assert "Put up the first tank" in visit.open("/tanks").words
    assert "Put up the first tank" not in reading.open("/tanks").words


def test_the_walk_is_ordered_by_buttons(visit: Visitor, made: Made) -> None:
    made.tank("One")
    two = made.tank("Two")
    made.session.commit()
    page = visit.post(f"/tanks/{two.id}/place", "/tanks/order", way="up")
    assert "Tank Two now comes first in the walk" in page.words
    assert re.search(r"1 Two.*2 One", page.words)
    assert "first of the walk already" in visit.post(f"/tanks/{two.id}/place", way="up").words


def test_a_tank_shows_its_fish_what_comes_next_and_its_history(visit: Visitor, made: Made) -> None:
    line, section = made.line(), made.section(made.tank("Rack"))
    dam = made.dam(line, section)
    made.batch(line, section, age_days=60)
    made.session.commit()
    words = visit.open(f"/tanks/{section.tank_id}").words
    assert "1 dam and 20 young" in words
    assert "sex and split by" in words
    assert f"{dam.code} came" in words


def test_temperatures_of_a_year_are_drawn_by_week(visit: Visitor, made: Made) -> None:
    tank = made.tank()
    for days in (1, 2, 200):
        readings.log_reading(made.session, made.actor, tank.id, temperature_c=24, on=made.days_ago(days))
    made.session.commit()
    assert "mean of the day" in visit.open(f"/tanks/{tank.id}").words
    assert "mean of the week" in visit.open(f"/tanks/{tank.id}?span=year").words
    assert "hour by hour" in visit.open(f"/tanks/{tank.id}?span=hours").words
    assert visit.open(f"/tanks/{tank.id}?span=nonsense&history=all").status == 200


def test_a_move_is_taken_back_from_the_tanks_history(visit: Visitor, made: Made) -> None:
    dam, there = made.dam(), made.section(made.tank("There"))
    stays.move(made.session, made.actor, section_id=there.id, on=made.actor.today, fish_ids=[dam.id])
    made.session.commit()
    home = f"/tanks/{there.tank_id}"
    undo = next(
        form.get("action") or ""
        for form in visit.open(home).all("form")
        if "/undo" in (form.get("action") or "")
    )
    page = visit.post(undo, home)
    assert f"Taken back: {dam.code} moved to There" in page.words
    assert rows(made.session, Stay, Stay.section_id == there.id) == []


def test_the_label_carries_a_code_that_opens_the_tank(visit: Visitor, made: Made) -> None:
    tank = made.tank("Rack 7", quarantine=True)
    made.session.commit()
    page = visit.open(f"/tanks/{tank.id}/label")
    assert f"http://127.0.0.1:8080/tanks/{tank.id}" in page.words
    assert "Rack 7" in page.words
    (code,) = [svg for svg in page.tree.iter() if svg.get("class") == "qr"]
    assert code.get("viewBox")
    assert code.get("width") is None


def test_a_helper_logs_at_a_tank_but_does_not_set_it_up(helping: Visitor, made: Made) -> None:
    tank = made.tank()
    made.session.commit()
    page = helping.open(f"/tanks/{tank.id}")
    assert "Log" in page.words
    assert "Take it down" not in page.words
    helping.open("/tanks/new", expect=403)
    helping.open("/tanks/order", expect=403)
    helping.open(f"/tanks/{tank.id}/edit", expect=403)


def test_what_else_lives_in_a_tank_and_its_food_are_kept(visit: Visitor, made: Made) -> None:
    page = visit.send(
        "/tanks/new", name="Jungle", litres="54", sections="1", planted="y", feed_g_per_day="1.5 g"
    )
    assert "Tank Jungle" in page.words
    tank = rows(made.session, Tank)[-1]
    assert (tank.planted, tank.invertebrates, tank.feed_g_per_day) == (True, False, 1.5)
    visit.send(
        f"/tanks/{tank.id}/edit",
        name="Jungle",
        litres="54",
        position="1",
        invertebrates="y",
        feed_g_per_day="",
    )
    made.session.refresh(tank)
    assert (tank.planted, tank.invertebrates, tank.feed_g_per_day) == (False, True, None)


def test_too_much_food_is_refused_where_it_was_typed(visit: Visitor) -> None:
    page = visit.send("/tanks/new", name="Jungle", litres="54", sections="1", feed_g_per_day="2 kg")
    assert page.status == 422
    assert "2000 g of food a day cannot be" in page.words
