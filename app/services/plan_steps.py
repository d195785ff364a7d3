"""Doing a step of a plan: the exact dose from the ledger, or the change, logged and ticked in one act."""

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.core.quantities import show_share
from app.core.wording import day_words
from app.queries.courses import redose
from app.queries.ledger import TankLedger, tank_ledger
from app.queries.plans import apart, plans_shown
from app.services.doses import add_dose, amount_words, check_amount, needed
from app.services.journal import Entry
from app.services.moments import check_moment, moment
from app.services.plans import LOOKED_AT, look, open_step, still_running, subject_of, tick
from app.services.refusals import Refused
from app.services.water_changes import Pour, add_change, check_pours
from app.store.actor import Actor
from app.store.plans import Plan, PlanStep, StepKind
from app.store.session import find
from app.store.tanks import Tank
from app.store.waters import Substance


@dataclass(frozen=True, slots=True)
class Done:
    """How a step was done: on which day, and what was really poured where that is not the plan's."""

    on: date
    amount: float | None = None
    source_id: int | None = None
    note: str = ""


def do_step(session: Session, actor: Actor, step_id: int, done: Done) -> PlanStep:
    """Do one step: pour what it asks for, and tick it."""
    actor.must_log()
    plan, step = open_step(session, step_id)
    if step.kind in LOOKED_AT:
        return look(session, actor, step_id, on=done.on, note=done.note)
    tank = find(session, Tank, plan.tank_id)
    at = moment(actor, done.on)
    check_moment(actor, tank, at)
    entry = Entry(session, actor, "do step")
    if step.kind is StepKind.CHANGE:
        words = _change(entry, plan, step, tank, at, done)
    else:
        words = _dose(entry, plan, step, tank, at, done)
    entry.tell(subject_of(plan), f"{tank.name}: {words}")
    return step


def _dose(entry: Entry, plan: Plan, step: PlanStep, tank: Tank, at: datetime, done: Done) -> str:
    session, actor = entry.session, entry.actor
    substance = find(session, Substance, plan.substance_id)
    ledger = tank_ledger(session, actor, tank.id)
    amount = done.amount if done.amount is not None else _asked(ledger, substance, step, at)
    check_amount(session, actor, tank, substance, amount, at)
    dose = add_dose(entry, tank, substance, amount, at, done.note)
    tick(entry, plan, step, done.on, dose_id=dose.id)
    return f"{amount_words(substance, amount)} {substance.name} added"


def _asked(ledger: TankLedger, substance: Substance, step: PlanStep, at: datetime) -> float:
    """Return the amount a step asks for at a moment: what is missing to its level, or the label's dose."""
    if step.level is None:
        raise Refused("This step names no level; log the dose on the tank's water page.", "amount")
    if step.kind is StepKind.RAISE:
        return needed(ledger, substance, step.level, at).amount
    return step.level * ledger.litres


def _change(entry: Entry, plan: Plan, step: PlanStep, tank: Tank, at: datetime, done: Done) -> str:
    if apart(plan):
        tick(entry, plan, step, done.on, note=done.note)
        return f"{show_share(step.fraction or 0.0)} of the newcomers’ water replaced"
    source_id = done.source_id or plan.source_id
    pours = [Pour(source_id)] if source_id is not None else []
    check_pours(entry.session, entry.actor, pours, at)
    fraction = step.fraction or 0.0
    if not 0 < fraction <= 1:
        raise Refused("This step names no share of the water; log the change on the tank's page.", "step")
    change = add_change(entry, tank, pours, tank.litres * fraction, at, note=done.note)
    tick(entry, plan, step, done.on, change_id=change.id)
    return f"{show_share(fraction)} of the water changed"


def put_back(session: Session, actor: Actor, plan_id: int, done: Done) -> Plan:
    """Add what changes took of a course since its last dose."""
    actor.must_log()
    plan = find(session, Plan, plan_id)
    still_running(plan)
    tank, substance = find(session, Tank, plan.tank_id), find(session, Substance, plan.substance_id)
    at = moment(actor, done.on)
    check_moment(actor, tank, at)
    (shown,) = plans_shown(session, actor, Plan.id == plan.id)
    lacks = redose(tank_ledger(session, actor, tank.id), substance, shown.steps, at)
    if lacks is None:
        raise Refused(f"{tank.name} lacks nothing of {substance.name}. No dose is needed.", "amount")
    amount = done.amount if done.amount is not None else lacks.missing
    check_amount(session, actor, tank, substance, amount, at)
    entry = Entry(session, actor, "put back")
    add_dose(entry, tank, substance, amount, at, done.note)
    entry.tell(
        subject_of(plan),
        f"{tank.name}: {amount_words(substance, amount)} {substance.name} put back "
        f"on {day_words(actor.day(at), actor.today)}",
    )
    return plan
