"""Quarantine: a look every day, and at its end a decision: move on, wait longer, or open a case."""

from collections.abc import Sequence
from datetime import timedelta

from sqlalchemy.orm import Session

from app.core.wording import day_words, listed, many
from app.services.journal import Entry
from app.services.plans import Step, add_step, finish, lay_out, still_running, subject_of, tick
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.fish import Fish
from app.store.plans import Plan, PlanFish, PlanKind, PlanStep, StepKind
from app.store.session import find, rows

LOOK = "look for clamped fins, spots, thin or swollen bellies, and whether they eat"
DECIDE = "its end: move on, wait longer, or open a case"
LONGEST_WAIT = 90


def watch(entry: Entry, tank_id: int, fish: Sequence[Fish]) -> Plan | None:
    """Lay out the daily looks of fish that came together, as part of their arrival.

    Looks of days before today are over; nothing is laid out where the quarantine has ended.
    """
    until = fish[0].quarantine_until
    today = entry.actor.today
    if until is None or until < today:
        return None
    start = fish[0].arrived_on
    days = (until - max(start, today)).days
    looks = [Step(max(start, today) + timedelta(days=n), StepKind.LOOK, note=LOOK) for n in range(days)]
    plan = Plan(
        kind=PlanKind.QUARANTINE,
        tank_id=tank_id,
        title=f"Quarantine of {listed([one.code for one in fish])}",
        started_on=start,
    )
    return lay_out(entry, plan, [*looks, Step(until, StepKind.DECIDE, note=DECIDE)], [one.id for one in fish])


def fish_of(session: Session, plan: Plan) -> Sequence[Fish]:
    """Return the fish of a plan that are still here."""
    ids = [each.fish_id for each in rows(session, PlanFish, PlanFish.plan_id == plan.id)]
    return rows(session, Fish, Fish.id.in_(ids), Fish.left_on.is_(None), order=Fish.code)


def follow_date(entry: Entry, fish: Fish) -> None:
    """Take a fish whose date was corrected out of the plan it shares; its own date is asked for then."""
    for member in rows(entry.session, PlanFish, PlanFish.fish_id == fish.id):
        plan = find(entry.session, Plan, member.plan_id)
        if plan.kind is not PlanKind.QUARANTINE or plan.ended_on is not None:
            continue
        entry.remove(member)
        if not fish_of(entry.session, plan):
            finish(entry, plan, max(entry.actor.today, plan.started_on), "its day was corrected")


def _running(session: Session, plan_id: int) -> Plan:
    plan = find(session, Plan, plan_id)
    still_running(plan)
    if plan.kind is not PlanKind.QUARANTINE:
        raise Refused(f"{plan.title} is no quarantine.", "plan")
    return plan


def _decision(session: Session, plan: Plan) -> PlanStep | None:
    open_ones = rows(
        session,
        PlanStep,
        PlanStep.plan_id == plan.id,
        PlanStep.kind == StepKind.DECIDE,
        PlanStep.done_on.is_(None),
        PlanStep.skipped.is_(False),
        order=PlanStep.due_on,
    )
    return open_ones[0] if open_ones else None


def move_on(session: Session, actor: Actor, plan_id: int) -> Plan:
    """End a quarantine today: the fish may go where they are meant to live."""
    actor.must_log()
    plan = _running(session, plan_id)
    entry = Entry(session, actor, "end quarantine")
    step = _decision(session, plan)
    if step is not None:
        tick(entry, plan, step, actor.today, note="Moved on")
    for fish in fish_of(session, plan):
        entry.change(fish, quarantine_until=max(fish.arrived_on, actor.today))
    finish(entry, plan, max(actor.today, plan.started_on), "moved on")
    entry.tell(subject_of(plan), f"{plan.title} ended on {day_words(actor.today, actor.today)}")
    return plan


def wait_longer(session: Session, actor: Actor, plan_id: int, days: int) -> Plan:
    """Put the decision off by so many days, with a look on each of them."""
    actor.must_log()
    plan = _running(session, plan_id)
    if not 1 <= days <= LONGEST_WAIT:
        raise Refused(f"{days} days longer; give 1 to {LONGEST_WAIT}.", "days")
    entry = Entry(session, actor, "lengthen quarantine")
    step = _decision(session, plan)
    begun = max(step.due_on, actor.today) if step is not None else actor.today
    until = begun + timedelta(days=days)
    for n in range(days):
        add_step(entry, plan, Step(begun + timedelta(days=n), StepKind.LOOK, note=LOOK))
    if step is not None:
        entry.change(step, due_on=until)
    else:
        add_step(entry, plan, Step(until, StepKind.DECIDE, note=DECIDE))
    for fish in fish_of(session, plan):
        entry.change(fish, quarantine_until=until)
    until_words = day_words(until, actor.today)
    entry.tell(subject_of(plan), f"{plan.title}: {many(days, 'day')} longer, until {until_words}")
    return plan
