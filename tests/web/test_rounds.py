"""The rounds, from a phone's point of view but without a browser."""

from time import process_time

import pytest
from flask import Flask

from app.core.reminders import RULES
from app.services import batches, projects
from app.services.stays import move
from app.store.fish import Fish, WithMales
from app.store.projects import ProjectCheck, ProjectState, Stage
from app.store.session import rows
from tests.factories import Made
from tests.support.client import Page, Visitor
from tests.support.statements import statements


def waiting_dam(made: Made, days: int = 44) -> Fish:
    line, his = made.line("guppy"), made.section()
    dam = made.dam(line)
    made.sire(line, his)
    move(made.session, made.actor, section_id=his.id, on=made.days_ago(days), fish_ids=[dam.id])
    made.session.commit()
    return dam


def test_an_empty_fishroom_is_led_to_its_first_tank(visit: Visitor) -> None:
    page = visit.open("/")
    assert "The first tank" in page.words


def test_a_drop_is_logged_from_the_rounds_with_the_count_alone(visit: Visitor, made: Made) -> None:
    dam = waiting_dam(made)
    page = visit.open("/")
    assert f"Look at {dam.code}" in page.words
    after = visit.post(f"/broodstock/{dam.id}/drop", "/", live="14", next="/")
    assert "14" in after.words
    assert f"Look at {dam.code}: her window is open" not in after.words


def test_a_reminder_is_answered_and_does_not_come_back_today(visit: Visitor, made: Made) -> None:
    dam = waiting_dam(made)
    page = visit.open("/")
    key = next(f.get("value") for f in page.all("input") if f.get("name") == "key")
    after = visit.post("/reminders", "/", key=key, kind="done", words="watch")
    assert "Done: watch" in after.words
    assert f"Look at {dam.code}: her window is open" not in after.words


def test_a_reader_sees_the_rounds_without_buttons(reading: Visitor, made: Made) -> None:
    waiting_dam(made)
    page = reading.open("/")
    assert "Log the drop" not in page.words


def test_a_reader_who_posts_anyway_is_told_why_not(reading: Visitor, made: Made) -> None:
    page = reading.post("/reminders", "/", key="count:1:2026-06-01", kind="done", words="count")
    assert page.status == 403
    assert "helper" in page.words


def test_a_count_is_logged_from_the_rounds_with_the_number_alone(visit: Visitor, made: Made) -> None:
    batch = made.batch(made.line("guppy"), number=20, age_days=8)
    made.session.commit()
    assert f"Count {batch.code}" in visit.open("/").words
    after = visit.post(f"/batches/{batch.id}/count", "/", alive="18", next="/")
    assert after.status == 200
    assert "Nothing is due today" in after.words


def test_a_refused_count_keeps_what_was_typed(visit: Visitor, made: Made) -> None:
    batch = made.batch(made.line("guppy"), number=20, age_days=8)
    made.session.commit()
    page = visit.post(f"/batches/{batch.id}/count", "/", alive="some", next="/")
    assert page.status == 422
    assert page.value("alive") == "some"


def card(page: Page, tank_id: int) -> str:
    """Return what one tank's entry says."""
    found = next(e for e in page.tree.iter() if e.get("id") == f"tank-{tank_id}")
    return " ".join("".join(found.itertext()).split())


def test_the_card_says_what_was_logged_and_what_comes_next_and_takes_it_back(
    visit: Visitor, made: Made
) -> None:
    section = made.section()
    batch = made.batch(made.line("guppy"), section, number=20, age_days=8)
    made.session.commit()
    home = f"/#tank-{section.tank_id}"
    after = visit.post(f"/batches/{batch.id}/count", "/", alive="18", next=home)
    said = card(after, section.tank_id)
    assert "Done here for today" in said
    assert "18 counted" in said
    assert "Next here: feed T1, in 6 days." in said
    undo = next(f.get("action") or "" for f in after.all("form") if "/undo" in (f.get("action") or ""))
    back = card(visit.post(undo, "/"), section.tank_id)
    assert "Taken back" in back
    assert f"Count {batch.code}" in back
    assert "Taken back" not in visit.open("/").words, "said once"


def test_a_projects_line_is_ticked_on_its_card_and_taken_back(visit: Visitor, made: Made) -> None:
    tank, line = made.tank("Rack"), made.line()
    project = projects.plan_project(
        made.session, made.actor, aim="More blue", line_id=line.id, tank_id=tank.id
    )
    projects.take_step(made.session, made.actor, project.id, ProjectState.RUNNING)
    made.session.commit()
    pair = rows(made.session, ProjectCheck, ProjectCheck.stage == Stage.PAIR, order=(ProjectCheck.position,))
    first, second = pair
    assert f"“More blue”: {first.words}." in card(visit.open("/"), tank.id)
    ticked = visit.post(f"/projects/checks/{first.id}", "/", done="yes", next=f"/#tank-{tank.id}")
    said = card(ticked, tank.id)
    assert f"Done: {first.words}" in said
    assert f"“More blue”: {second.words}." in said
    undo = next(f.get("action") or "" for f in ticked.all("form") if "/undo" in (f.get("action") or ""))
    assert f"“More blue”: {first.words}." in card(visit.post(undo, "/"), tank.id)


def test_what_is_said_of_no_tank_here_stands_on_top(visit: Visitor, made: Made) -> None:
    dam = waiting_dam(made)
    after = visit.post(f"/broodstock/{dam.id}/drop", "/", live="14", next="/#tank-999")
    assert after.words.index("14") < after.words.index("Rounds", after.words.index("Skip to the page") + 60)


def test_the_walk_can_be_one_line_a_tank_and_says_so_next_time(visit: Visitor, made: Made) -> None:
    waiting_dam(made)
    made.tank("Empty")
    made.session.commit()
    assert "Nothing due" in visit.open("/").words
    short = visit.post("/rounds/shape", "/", shape="short")
    assert "Nothing due" not in short.words, "every tank stands in walking order"
    assert "Empty free" in short.words
    assert any(e.get("class") == "due-fold" for e in short.all("details"))
    assert "Nothing due" in visit.post("/rounds/shape", "/", shape="full").words


def test_a_reader_may_choose_the_shape_too(reading: Visitor, made: Made) -> None:
    waiting_dam(made)
    assert reading.post("/rounds/shape", "/", shape="short").status == 200


def furnish(made: Made, number: int) -> None:
    """Put up tanks with a waiting dam and a measured batch each, and something due at many of them."""
    line = made.line("guppy")
    sire = made.sire(line)
    for n in range(number):
        section = made.section()
        made.dam(line, section, with_males=WithMales.YES, arrived_on=made.days_ago(5 + n % 40))
        batch = made.batch(line, section, age_days=20 + n)
        batches.log_lengths(
            made.session, made.actor, batch.id, on=made.days_ago(1 + n % 3), lengths_mm=[11 + n / 9] * 6
        )
    assert sire.id
    made.session.commit()


@pytest.mark.slow
def test_a_walk_past_sixty_tanks_costs_no_more_statements_and_under_a_third_of_a_second(
    visit: Visitor, made: Made
) -> None:
    furnish(made, 4)
    few = statements(visit, "/")
    furnish(made, 56)
    assert statements(visit, "/") == few
    page = visit.open("/")
    assert "things to do at" in page.words
    assert any(b.get("aria-pressed") == "true" and b.get("value") == "short" for b in page.all("button"))
    spent = []
    for _ in range(3):  # of the processor, since other work may share it
        begun = process_time()
        visit.client.get("/")
        spent.append(process_time() - begun)
    assert min(spent) < 0.3


def test_every_rule_has_its_word_on_the_rounds(app: Flask) -> None:
    word = app.jinja_env.filters["rule_word"]
    assert [rule.key for rule in RULES if not word(rule.key)] == []
