"""What a course asks for now, by the ledger: the next dose, and what changes took of it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from app.core.quantities import show_share, show_volume
from app.core.water.course import Taken, missing, taken
from app.core.water.ledger import Held
from app.core.water.levels import show_amount, show_held
from app.core.water.salt_course import PLAIN_G_PER_L
from app.queries.evidence.waters import gains_of, key_of
from app.queries.ledger import TankLedger, tank_ledgers
from app.queries.plans import PlanShown, StepShown, level_words, plans_shown
from app.store.actor import Actor
from app.store.plans import Plan, PlanKind
from app.store.session import rows
from app.store.waters import Measure, Substance

POURED = {"raise to", "dose"}
OVER = 1.05
"""So many times the level of a course is clearly more; below that a balance and a bucket differ."""


@dataclass(frozen=True, slots=True)
class Redose:
    """What changes took of a course since its last dose, and what brings the tank back to its aim."""

    taken: Taken | None
    missing: float
    level: float
    now: float


@dataclass(frozen=True, slots=True)
class Lack:
    """What a running course lacks, in words and as an amount."""

    plan_id: int
    title: str
    tank_id: int
    at: datetime | None
    amount: float
    amount_words: str
    words: str


def level_now(ledger: TankLedger, substance: Substance | None, at: datetime) -> float | None:
    """Return the level of what a substance is followed as; of salt where none is named."""
    return ledger.level(key_of(substance) if substance is not None else Held.SALT, at)


def amount_asked(ledger: TankLedger, substance: Substance, step: StepShown, at: datetime) -> float | None:
    """Return the amount a step asks for at a moment; None where nothing is missing or the level unknown."""
    if step.level is None or step.kind not in POURED:
        return None
    if step.kind == "dose":
        return step.level * ledger.litres
    now, each = level_now(ledger, substance, at), gains_of(substance).get(key_of(substance))
    if now is None or not each or step.level <= now:
        return None
    return (step.level - now) * ledger.litres / each


def redose(
    ledger: TankLedger, substance: Substance, steps: Sequence[StepShown], at: datetime
) -> Redose | None:
    """Return what a course lacks for the level it had reached; None while it lacks nothing."""
    done = [step for step in steps if step.state == "done" and step.level is not None]
    key = key_of(substance)
    account, now, each = ledger.accounts.get(key), ledger.level(key, at), gains_of(substance).get(key)
    if not done or account is None or now is None or not each:
        return None
    last = max((event.at for event in ledger.events if key in getattr(event, "gains", ())), default=None)
    lost = taken(account, ledger.events, ledger.litres, last) if last is not None else None
    if key is not Held.SALT:
        back = now + lost.amount / ledger.litres if lost is not None else now
        return Redose(lost, lost.amount / each, back, now) if lost is not None else None
    level = done[-1].level or 0.0
    gap = missing(level, now, ledger.litres)
    return Redose(lost, gap / each, level, now) if gap > 0 else None


def _excess(plan: PlanShown, ledger: TankLedger, known: Mapping[int, Substance], at: datetime) -> str:
    """Say how much too salty a tank is, and which change brings it back; nothing where it is not."""
    substance = known[plan.substance_id or 0]
    done = [step.level for step in plan.steps if step.state == "done" and step.level is not None]
    now = ledger.level(Held.SALT, at)
    if key_of(substance) is not Held.SALT or not done or now is None or now <= OVER * done[-1]:
        return ""
    return (
        f"{plan.tank} holds {show_held(Held.SALT, now)}, more than the {show_held(Held.SALT, done[-1])} "
        "of the course: "
        f"a change of {show_share(1.0 - done[-1] / now)} with plain water brings it back"
    )


def salted_by(session: Session, actor: Actor, plans: Iterable[PlanShown]) -> tuple[tuple[int, str, str], ...]:
    """Return the tanks that courses of salt left salted, with how much they hold."""
    tanks = {plan.tank_id: plan.tank for plan in plans if plan.kind == "course"}
    ledgers = tank_ledgers(session, actor, list(tanks)) if tanks else {}
    held = ((tank_id, ledgers[tank_id].level(Held.SALT, actor.now)) for tank_id in tanks)
    return tuple(
        (tank_id, tanks[tank_id], show_held(Held.SALT, salt))
        for tank_id, salt in held
        if salt is not None and salt > PLAIN_G_PER_L
    )


def lacks(session: Session, actor: Actor) -> tuple[Lack, ...]:
    """Return what the courses that run lack, in a fixed number of statements."""
    running = plans_shown(session, actor, Plan.kind == PlanKind.COURSE, Plan.ended_on.is_(None))
    return lacks_of(session, actor, running)


def lacks_of(session: Session, actor: Actor, plans: Iterable[PlanShown]) -> tuple[Lack, ...]:
    """Return what these courses lack; those that have ended lack nothing."""
    return off_course(session, actor, plans).lacks


@dataclass(frozen=True, slots=True)
class OffCourse:
    """What courses that run lack, and the words of those whose tanks hold clearly more salt than they ask."""

    lacks: tuple[Lack, ...] = ()
    over: tuple[str, ...] = ()


def off_course(session: Session, actor: Actor, plans: Iterable[PlanShown]) -> OffCourse:
    """Hold these courses against their tanks' ledgers, read once; those that have ended are left out."""
    running = [plan for plan in plans if plan.running and plan.kind == "course" and plan.substance_id]
    if not running:
        return OffCourse()
    ledgers = tank_ledgers(session, actor, [plan.tank_id for plan in running])
    known = {each.id: each for each in rows(session, Substance)}
    lacking = (_lack(actor, plan, ledgers[plan.tank_id], known) for plan in running)
    over = (_excess(plan, ledgers[plan.tank_id], known, actor.now) for plan in running)
    return OffCourse(tuple(lack for lack in lacking if lack is not None), tuple(filter(None, over)))


def _lack(actor: Actor, plan: PlanShown, ledger: TankLedger, known: Mapping[int, Substance]) -> Lack | None:
    substance = known[plan.substance_id or 0]
    short = redose(ledger, substance, plan.steps, actor.now)
    if short is None:
        return None
    amount = amount_words(substance, short.missing)
    words = f"{_took(actor, plan, substance, short)}add {amount} to be back at "
    return Lack(
        plan.id,
        plan.title,
        plan.tank_id,
        short.taken.last if short.taken is not None else None,
        short.missing,
        amount,
        f"{words}{level_words(short.level, substance)}",
    )


def _took(actor: Actor, plan: PlanShown, substance: Substance, short: Redose) -> str:
    """Say what the changes took, where they were logged."""
    gone = short.taken
    if gone is None:
        return f"{plan.tank} holds {level_words(short.now, substance)}: "
    share = gone.litres / plan.litres
    water = (
        f"{share * 100:.0f} % change" if share < 1 else f"changes of {show_volume(gone.litres, actor.units)}"
    )
    return f"The {water} took {amount_words(substance, gone.amount)} of {substance.name}: "


def amount_words(substance: Substance, amount: float) -> str:
    """Return an amount in the substance's own measure; grams on a kitchen scale's terms."""
    if substance.measure is Measure.GRAM and amount >= 10:
        amount = round(amount)
    return show_amount(amount, substance.measure)
