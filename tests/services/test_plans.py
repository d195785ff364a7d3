"""Laying out plans, ticking and skipping their steps, ending them, and taking all that back."""

from datetime import timedelta

import pytest

from app.queries.plans import open_steps, plans_shown
from app.services import plans
from app.services.journal import Entry
from app.services.plans import Step
from app.services.refusals import NotFound, Refused
from app.services.undo import undo
from app.store.plans import Plan, PlanKind, PlanStep, StepKind
from app.store.session import rows
from tests.factories import Made


def laid_out(made: Made, kind: PlanKind = PlanKind.QUARANTINE, looks: int = 3) -> Plan:
    """Return a plan of daily looks with a decision at the end."""
    entry = Entry(made.session, made.actor, "plan")
    today = made.actor.today
    steps = [Step(today + timedelta(days=k), StepKind.LOOK, note="Look for spots") for k in range(looks)]
    plan = plans.lay_out(
        entry,
        Plan(kind=kind, tank_id=made.tank().id, title="Quarantine", started_on=today),
        [*steps, Step(today + timedelta(days=looks), StepKind.DECIDE, note="Move on, or wait longer")],
        [made.dam().id],
    )
    entry.tell(f"plan:{plan.id}", "Quarantine begun")
    return plan


def numbers(made: Made, plan: Plan) -> list[int]:
    return [step.id for step in plans.steps_of(made.session, plan)]


def test_the_steps_of_a_plan_are_shown_by_day_with_the_next_one(made: Made) -> None:
    plan = laid_out(made)
    (shown,) = plans_shown(made.session, made.actor, Plan.id == plan.id)
    assert [step.state for step in shown.steps] == ["due", "ahead", "ahead", "ahead"]
    assert shown.next is not None
    assert shown.next.words == "Look for spots"


def test_a_step_that_is_done_leaves_the_open_ones(made: Made) -> None:
    plan = laid_out(made)
    plans.look(made.session, made.actor, numbers(made, plan)[0], on=made.actor.today, note="All well")
    assert len(open_steps(made.session, made.actor)) == 3
    (shown,) = plans_shown(made.session, made.actor)
    assert (shown.steps[0].state, shown.done) == ("done", 1)
    assert shown.steps[0].note.endswith("All well")


def test_a_step_is_done_once(made: Made) -> None:
    step = numbers(made, laid_out(made))[0]
    plans.look(made.session, made.actor, step, on=made.actor.today)
    with pytest.raises(Refused, match="done on 15 June 2026 already"):
        plans.look(made.session, made.actor, step, on=made.actor.today)


def test_a_step_is_not_done_ahead_of_its_time(made: Made) -> None:
    step = numbers(made, laid_out(made))[0]
    with pytest.raises(Refused, match="still ahead"):
        plans.look(made.session, made.actor, step, on=made.actor.today + timedelta(days=1))


def test_a_skipped_step_can_be_taken_back(made: Made) -> None:
    step = numbers(made, laid_out(made))[0]
    plans.skip(made.session, made.actor, step)
    with pytest.raises(Refused, match="skipped"):
        plans.look(made.session, made.actor, step, on=made.actor.today)
    undo(made.session, made.actor, made.session.info["act"].id)
    plans.look(made.session, made.actor, step, on=made.actor.today)
    assert made.session.get_one(PlanStep, step).done_on == made.actor.today


def test_the_way_to_plain_water_is_over_with_its_last_step(made: Made) -> None:
    plan = laid_out(made, PlanKind.DESALTING, looks=1)
    first, last = numbers(made, plan)
    plans.look(made.session, made.actor, first, on=made.actor.today)
    assert plan.ended_on is None
    plans.skip(made.session, made.actor, last)
    assert plan.ended_on == made.actor.today


def test_an_ended_plan_asks_nothing_more_until_that_is_taken_back(made: Made) -> None:
    plan = laid_out(made, PlanKind.ACCLIMATION)
    plans.end(made.session, made.actor, plan.id, on=made.actor.today, outcome="moved on")
    assert open_steps(made.session, made.actor) == ()
    with pytest.raises(Refused, match="ended"):
        plans.skip(made.session, made.actor, numbers(made, plan)[0])
    undo(made.session, made.actor, made.session.info["act"].id)
    assert len(open_steps(made.session, made.actor)) == 4


def test_a_plan_ends_no_sooner_than_it_began(made: Made) -> None:
    plan = laid_out(made, PlanKind.ACCLIMATION)
    with pytest.raises(Refused, match="began on 15 June"):
        plans.end(made.session, made.actor, plan.id, on=made.days_ago(1))


def test_a_quarantine_ends_by_its_decision_alone(made: Made) -> None:
    plan = laid_out(made)
    with pytest.raises(Refused, match="ends by a decision"):
        plans.end(made.session, made.actor, plan.id, on=made.actor.today)
    (shown,) = plans_shown(made.session, made.actor, Plan.id == plan.id)
    assert shown.decision == shown.steps[-1]


def test_a_plan_taken_back_takes_its_steps_and_fish_with_it(made: Made) -> None:
    laid_out(made)
    undo(made.session, made.actor, made.session.info["act"].id)
    assert not rows(made.session, Plan)
    assert not rows(made.session, PlanStep)


def test_what_is_no_step_here_is_not_found(made: Made) -> None:
    with pytest.raises(NotFound):
        plans.skip(made.session, made.actor, 999)
