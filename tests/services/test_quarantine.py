"""Quarantine: laid out on arrival, looked at day by day, ended by a decision, a move or a departure."""

from datetime import timedelta

import pytest

from app.core.reminders import due
from app.queries.facts import morning
from app.services import fish, plans, quarantine, stays, undo
from app.services.refusals import Refused
from app.store.fish import Departure, Fish, Sex
from app.store.journal import Act
from app.store.plans import Plan, PlanFish, PlanKind, PlanStep, StepKind
from app.store.session import rows
from app.store.tanks import Section
from tests.factories import Made


def arrived(made: Made, days: int = 14, ago: int = 0, number: int = 2) -> tuple[Plan, Section]:
    section = made.section(made.tank("Q", quarantine=True))
    told = fish.Arrival(
        Sex.FEMALE,
        made.days_ago(ago),
        section.id,
        line_id=made.line("guppy").id,
        number=number,
        codes="A1, A2" if number == 2 else "A1",
        quarantine_days=days,
    )
    fish.acquire(made.session, made.actor, told)
    return rows(made.session, Plan)[-1], section


def steps(made: Made, plan: Plan) -> list[PlanStep]:
    return [*rows(made.session, PlanStep, PlanStep.plan_id == plan.id, order=(PlanStep.due_on, PlanStep.id))]


def asked(made: Made) -> list[tuple[str, str]]:
    today = morning(made.session, made.actor)
    found = due(today.facts, today.answers)
    return [(one.rule, one.key) for one in found if one.stage == "quarantine"]


def test_fish_that_came_together_share_one_plan_with_a_look_a_day_and_a_decision(made: Made) -> None:
    plan, section = arrived(made)
    assert (plan.kind, plan.tank_id, plan.title) == (
        PlanKind.QUARANTINE, section.tank_id, "Quarantine of A1 and A2",
    )  # fmt: skip
    assert len(rows(made.session, PlanFish, PlanFish.plan_id == plan.id)) == 2
    laid = steps(made, plan)
    assert [one.kind for one in laid] == [StepKind.LOOK] * 14 + [StepKind.DECIDE]
    assert laid[-1].due_on == made.actor.today + timedelta(days=14)


def test_without_quarantine_or_after_its_end_no_plan_is_made(made: Made) -> None:
    section = made.section()
    told = fish.Arrival(Sex.MALE, made.days_ago(40), section.id, line_id=made.line().id)
    fish.acquire(made.session, made.actor, told)
    assert rows(made.session, Plan) == []


def test_one_thing_is_asked_a_day_and_nothing_twice(made: Made) -> None:
    plan, _ = arrived(made)
    first = steps(made, plan)[0]
    assert asked(made) == [("look_due", f"step:{first.id}")]
    plans.look(made.session, made.actor, first.id, on=made.actor.today)
    assert asked(made) == []


def test_a_look_stands_for_those_that_were_missed(made: Made) -> None:
    plan, _ = arrived(made, days=10)
    laid = steps(made, plan)
    for step in laid:
        step.due_on -= timedelta(days=3)
    made.session.flush()
    plans.look(made.session, made.actor, laid[3].id, on=made.actor.today)
    assert [one.skipped for one in laid[:4]] == [True, True, True, False]
    assert asked(made) == []


def test_the_decision_to_wait_adds_looks_and_moves_the_end(made: Made) -> None:
    plan, _ = arrived(made, days=2)
    quarantine.wait_longer(made.session, made.actor, plan.id, 5)
    laid = steps(made, plan)
    assert [one.kind for one in laid].count(StepKind.LOOK) == 7
    assert laid[-1].kind is StepKind.DECIDE
    assert laid[-1].due_on == made.actor.today + timedelta(days=7)
    assert {one.quarantine_until for one in rows(made.session, Fish)} == {laid[-1].due_on}


def test_an_impossible_wait_is_refused(made: Made) -> None:
    plan, _ = arrived(made)
    with pytest.raises(Refused, match="0 days longer; give 1 to 90"):
        quarantine.wait_longer(made.session, made.actor, plan.id, 0)


def test_moving_on_ends_it_and_can_be_taken_back(made: Made) -> None:
    plan, _ = arrived(made)
    until = rows(made.session, Fish)[0].quarantine_until
    quarantine.move_on(made.session, made.actor, plan.id)
    assert (plan.ended_on, plan.outcome) == (made.actor.today, "moved on")
    assert rows(made.session, Fish)[0].quarantine_until == made.actor.today
    assert asked(made) == []
    act = rows(made.session, Act, order=Act.id)[-1]
    undo.undo(made.session, made.actor, act.id)
    assert plan.ended_on is None
    assert rows(made.session, Fish)[0].quarantine_until == until


def test_it_is_over_once_the_last_fish_moved_to_a_tank_of_another_kind(made: Made) -> None:
    plan, _ = arrived(made)
    first, second = rows(made.session, Fish, order=Fish.code)
    home, today = made.section(), made.actor.today
    stays.move(made.session, made.actor, section_id=home.id, on=today, fish_ids=[first.id])
    assert plan.ended_on is None
    assert first.quarantine_until == today
    assert "which ends the quarantine of A1" in made.session.info["act"].words
    assert [one.fish_id for one in rows(made.session, PlanFish)] == [second.id]
    stays.move(made.session, made.actor, section_id=home.id, on=today, fish_ids=[second.id])
    made.session.refresh(plan)
    assert plan.outcome == "moved on"


def test_it_follows_its_fish_to_another_quarantine_tank(made: Made) -> None:
    plan, _ = arrived(made, number=1)
    other = made.section(made.tank("Q2", quarantine=True))
    (one,) = rows(made.session, Fish)
    stays.move(made.session, made.actor, section_id=other.id, on=made.actor.today, fish_ids=[one.id])
    assert (plan.ended_on, plan.tank_id) == (None, other.tank_id)


def test_it_is_over_when_no_fish_is_left(made: Made) -> None:
    plan, _ = arrived(made, number=1)
    (one,) = rows(made.session, Fish)
    fish.leave(made.session, made.actor, one.id, on=made.actor.today, departure=Departure.DIED)
    assert plan.outcome == "no fish left"
