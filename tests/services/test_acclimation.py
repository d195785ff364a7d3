"""Acclimation: dated steps for fish that came together, done one by one, in a box or in the tank."""

from dataclasses import replace
from datetime import timedelta

import pytest

from app.core.water.acclimation import WaterState
from app.core.water.ledger import Held
from app.queries.ledger import tank_ledger
from app.services.acclimation import AcclimationTold, plan_acclimation
from app.services.doses import log_dose
from app.services.plan_steps import Done, do_step
from app.services.refusals import Refused
from app.store.plans import Plan, PlanFish, PlanStep
from app.store.session import rows
from app.store.tanks import Tank
from app.store.waters import WaterChange
from tests.factories import Made


def told(made: Made, number: int = 1) -> AcclimationTold:
    line, section = made.line(), made.section()
    fish = [made.dam(line, section) for _ in range(number)]
    origin, goal = WaterState(4.5, 14.0, 26.0), WaterState(0.0, 8.0, 25.0)
    return AcclimationTold(tuple(one.id for one in fish), origin, goal, made.actor.today)


def steps(made: Made, plan: Plan) -> list[PlanStep]:
    return [*rows(made.session, PlanStep, PlanStep.plan_id == plan.id, order=PlanStep.due_on)]


def test_one_plan_covers_fish_that_came_together(made: Made) -> None:
    plan = plan_acclimation(made.session, made.actor, told(made, 2))
    assert len(rows(made.session, PlanFish, PlanFish.plan_id == plan.id)) == 2
    laid = steps(made, plan)
    assert [one.salinity_g_per_l for one in laid] == pytest.approx([3.0, 1.5, 0.0])
    assert [one.fraction for one in laid] == pytest.approx([1 / 3, 1 / 2, 1.0])
    assert laid[-1].due_on == made.actor.today + timedelta(days=2)


def test_steps_in_a_box_change_no_tank_and_the_last_one_ends_the_plan(made: Made) -> None:
    plan = plan_acclimation(made.session, made.actor, told(made))
    for step in steps(made, plan):
        do_step(made.session, made.actor, step.id, Done(made.actor.today))
    assert rows(made.session, WaterChange) == []
    assert plan.ended_on == made.actor.today


def test_steps_in_the_tank_are_logged_and_the_ledger_arrives_where_the_plan_says(made: Made) -> None:
    asked = told(made)
    water = made.water("Tap", gh_dh=8.0)
    asked = replace(asked, source_id=water.id, origin=WaterState(4.5, None))
    salt, tank = made.substance(), rows(made.session, Tank)[-1]
    before = made.actor.now - timedelta(hours=2)
    log_dose(made.session, made.actor, tank.id, salt.id, amount=0.5 * 54.0, at=before)
    with pytest.raises(Refused, match=r"holds 0\.5 g/L, and they come from 4\.5 g/L"):
        plan_acclimation(made.session, made.actor, asked)
    log_dose(made.session, made.actor, tank.id, salt.id, amount=4.0 * 54.0, at=before)
    plan = plan_acclimation(made.session, made.actor, asked)
    first = steps(made, plan)[0]
    do_step(made.session, made.actor, first.id, Done(made.actor.today))
    (change,) = rows(made.session, WaterChange)
    assert change.litres == pytest.approx(54.0 / 3)
    held = tank_ledger(made.session, made.actor, plan.tank_id).level(Held.SALT, made.actor.now)
    assert held == pytest.approx(first.salinity_g_per_l)


def test_what_cannot_be_planned_is_refused(made: Made) -> None:
    asked = told(made)
    alike = replace(asked, goal=asked.origin)
    with pytest.raises(Refused, match="alike"):
        plan_acclimation(made.session, made.actor, alike)
    with pytest.raises(Refused, match="is past"):
        plan_acclimation(made.session, made.actor, replace(asked, start=made.days_ago(1)))
    both = (*asked.fish_ids, *told(made).fish_ids)
    with pytest.raises(Refused, match="one tank"):
        plan_acclimation(made.session, made.actor, replace(asked, fish_ids=both))
    plan_acclimation(made.session, made.actor, asked)
    with pytest.raises(Refused, match="runs already"):
        plan_acclimation(made.session, made.actor, asked)
