"""Plays how newcomers are led over and looked at, and what the keeper wants of the water."""

from app.core.fry_care import Care
from app.core.water.acclimation import WaterState
from app.queries.acclimation import acclimation_asked
from app.services import acclimation, fry_care, plan_steps, targets
from app.services.acclimation import AcclimationTold
from app.services.plan_steps import Done
from app.services.targets import For
from app.store.plans import Plan, PlanFish, PlanKind, PlanStep
from app.store.readings import Quantity
from app.store.session import rows
from seed_demo.script import Row
from seed_demo.stage import Stage


def lead_over(stage: Stage, row: Row) -> None:
    """Plan the acclimation of a fish in a box of its own."""
    asked = acclimation_asked(stage.session, stage.actor, stage.fish(row.text("fish")))
    told = AcclimationTold(
        (asked.fish_id,),
        WaterState(asked.salinity_g_per_l, asked.gh_dh, asked.temperature_c),
        WaterState(asked.goal_salinity_g_per_l, asked.goal_gh_dh, asked.goal_temperature_c),
        stage.actor.today,
        assumed=row.text("note"),
    )
    acclimation.plan_acclimation(stage.session, stage.actor, told)


def step(stage: Stage, row: Row) -> None:
    """Do the step that is due of a fish's plan."""
    kind = PlanKind(row.text("kind"))
    members = rows(stage.session, PlanFish, PlanFish.fish_id == stage.fish(row.text("fish")))
    plan_ids = [member.plan_id for member in members]
    (plan,) = rows(stage.session, Plan, Plan.id.in_(plan_ids), Plan.kind == kind, Plan.ended_on.is_(None))
    due = rows(
        stage.session,
        PlanStep,
        PlanStep.plan_id == plan.id,
        PlanStep.due_on <= stage.actor.today,
        PlanStep.done_on.is_(None),
        order=PlanStep.due_on,
    )
    plan_steps.do_step(stage.session, stage.actor, due[0].id, Done(stage.actor.today))


def want(stage: Stage, row: Row) -> None:
    """Set what a line's water should be."""
    line = For(line_id=stage.line(row.text("line")))
    quantity = Quantity(row.text("quantity"))
    targets.choose_target(stage.session, stage.actor, line, quantity, row.number("low"), row.number("high"))


def care(stage: Stage, row: Row) -> None:
    """Set how a line's fry are cared for from an age on."""
    told = Care(row.whole("from_age"), row.whole("feeds"), row.whole("every_days"), row.whole("share") / 100)
    fry_care.choose_care(stage.session, stage.actor, told, stage.line(row.text("line")))
