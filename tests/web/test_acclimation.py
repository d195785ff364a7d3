"""Acclimation from the fish's page to the rounds."""

import re

from app.store.plans import Plan, PlanStep
from app.store.session import rows
from tests.factories import Made
from tests.support.client import Visitor


def test_a_newcomer_of_unknown_water_is_led_over_as_the_keeper_assumes(visit: Visitor, made: Made) -> None:
    tank = made.tank("Q", set_point_c=25.0)
    dam = made.dam(section=made.section(tank), arrived_on=made.actor.today)
    made.session.commit()
    assert "Lead it over to the tank’s water" in visit.open(f"/broodstock/{dam.id}").words
    path = f"/broodstock/{dam.id}/acclimation"
    page = visit.open(path)
    assert "may have been raised in brackish water" in page.words
    today = made.actor.today.isoformat()
    given = {"fish_ids": [str(dam.id)], "assume": "5", "goal_salinity_g_per_l": "0", "start": today}
    page = visit.send(path, **given)
    assert "Look before you save" in page.words
    assert "4 steps" in page.words
    assert rows(made.session, Plan) == []
    page = visit.send(path, **given, looked=page.value("looked"))
    assert "taken for 5 g/L, as in brackish farms" in page.words
    assert f"Acclimation of {dam.code} : replace 25 % of their water" in visit.open("/").words
    (first, *_) = rows(made.session, PlanStep, order=PlanStep.due_on)
    assert "Their water now the one they came in" in visit.open(f"/plans/{first.plan_id}").words
    asked = visit.open(f"/plans/steps/{first.id}")
    (head,) = asked.all("h1")
    title = " ".join("".join(head.itertext()).split())
    assert title == "Replace 25 % of their water with the tank’s"
    assert f"{title} Acclimation of" in asked.words
    assert re.search(r"To 3\.\d+ g/L", asked.words), "5 g/L less a quarter"
    visit.send(f"/plans/steps/{first.id}", on=today)
    assert "Their water now 3.8 g/L" in visit.open(f"/plans/{first.plan_id}").words
    assert f"Acclimation of {dam.code}: " in visit.open(f"/broodstock/{dam.id}").words


def test_without_anything_known_of_both_waters_nothing_is_planned(visit: Visitor, made: Made) -> None:
    dam = made.dam(arrived_on=made.actor.today)
    made.session.commit()
    path = f"/broodstock/{dam.id}/acclimation"
    page = visit.send(path, fish_ids=[str(dam.id)], start=made.actor.today.isoformat())
    assert "no value is known of both waters" in page.words
