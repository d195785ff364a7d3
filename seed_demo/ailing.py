"""Plays the cases: what was seen, which courses ran, which steps were done, and how it ended."""

from app.services import cases, courses, plain_water, plan_steps, plans
from app.store.cases import Ailing, CaseOutcome, CaseSign
from app.store.plans import Plan
from app.store.session import rows
from seed_demo.script import Row
from seed_demo.stage import Stage

EVERY_DAYS = 2


def open_case(stage: Stage, row: Row) -> None:
    """Open a case of a fish or a batch."""
    code = row.text("about")
    fish = stage.is_fish(code)
    about = cases.Subject(fish_id=stage.fish(code)) if fish else cases.Subject(batch_id=stage.batch(code))
    told = cases.CaseTold(stage.actor.today, row.text("title"), row.text("suspected"), row.text("note"))
    cases.open_case(stage.session, stage.actor, about, told, [Ailing(word) for word in row.words("signs")])


def course(stage: Stage, row: Row) -> None:
    """Plan a course of table salt."""
    told = courses.CourseTold(
        stage.tank(row.text("tank")),
        None,
        stage.actor.today,
        levels=tuple(float(level) for level in row.words("levels")),
        every_days=row.whole("every_days"),
        hold_days=row.whole("hold_days"),
        note=row.text("note"),
    )
    courses.plan_course(stage.session, stage.actor, stage.case(row.text("case")), told)


def step(stage: Stage, row: Row) -> None:
    """Do the next step of a case's plan, see a sign no more, or plan the way back to plain water."""
    case_id = stage.case(row.text("case"))
    what, _, more = row.text("what").partition(": ")
    if what == "gone":
        _gone(stage, case_id, Ailing(more))
    elif what == "plain":
        _plain(stage, case_id, int(more) / 100)
    else:
        _do(stage, case_id)


def _gone(stage: Stage, case_id: int, kind: Ailing) -> None:
    (sign,) = rows(stage.session, CaseSign, CaseSign.case_id == case_id, CaseSign.kind == kind)
    cases.sign_gone(stage.session, stage.actor, sign.id, on=stage.actor.today)


def _plain(stage: Stage, case_id: int, fraction: float) -> None:
    (plan,) = rows(stage.session, Plan, Plan.case_id == case_id)
    told = plain_water.PlainTold(fraction, EVERY_DAYS, stage.water("Tap"), stage.actor.today, case_id=case_id)
    plain_water.plan_plain_water(stage.session, stage.actor, plan.tank_id, told)


def _do(stage: Stage, case_id: int) -> None:
    (plan,) = rows(stage.session, Plan, Plan.case_id == case_id, Plan.ended_on.is_(None))
    due = next(one for one in plans.steps_of(stage.session, plan) if one.done_on is None)
    plan_steps.do_step(stage.session, stage.actor, due.id, plan_steps.Done(stage.actor.today))


def close(stage: Stage, row: Row) -> None:
    """Close a case; who died with it is told among those that left."""
    ending = cases.Ending(stage.actor.today, CaseOutcome(row.text("outcome")), row.text("what_helped"))
    cases.close_case(stage.session, stage.actor, stage.case(row.text("case")), ending)
