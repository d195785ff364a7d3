"""The way back to plain water: equal changes on their days until the salt is out."""

from dataclasses import dataclass
from datetime import date

from sqlalchemy.orm import Session

from app.core.quantities import show_salinity
from app.core.water.ledger import Held
from app.core.water.salt_course import PLAIN_G_PER_L, ChangeStep, ramp_down
from app.core.wording import day_words, many
from app.queries.evidence.waters import key_of
from app.queries.ledger import TankLedger, tank_ledger
from app.services.journal import Entry
from app.services.plans import Step, finish, lay_out, subject_of
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.plans import Plan, PlanKind, StepKind
from app.store.session import find, rows
from app.store.tanks import Tank
from app.store.waters import SourceWater, Substance

MOST_CHANGES = 60


@dataclass(frozen=True, slots=True)
class PlainTold:
    """How a tank goes back to plain water: so much of it, every so many days, with which water."""

    fraction: float
    every_days: int
    source_id: int
    start: date
    target: float = PLAIN_G_PER_L
    case_id: int | None = None


def changes(ledger: TankLedger, actor: Actor, water: SourceWater, told: PlainTold) -> tuple[ChangeStep, ...]:
    """Return the changes and the days the ledger predicts."""
    now = ledger.level(Held.SALT, actor.now)
    if now is None:
        raise Refused(f"How much salt {ledger.name} holds is not known. Test the water first.", "target")
    if water.salinity_g_per_l is None:
        raise Refused(
            f"How salty {water.name} is was never told. Give it on the waters page, or choose another.",
            "source_id",
        )
    if now <= told.target:
        raise Refused(
            f"{ledger.name} holds {show_salinity(now)}: that is plain water already. No change is needed.",
            "target",
        )
    if not 0 < told.fraction <= 1:
        raise Refused(f"{told.fraction * 100:g} % cannot be changed; give 1 to 100 %.", "fraction")
    steps = ramp_down(now, told.target, told.fraction, told.start, told.every_days, water.salinity_g_per_l)
    if len(steps) > MOST_CHANGES:
        raise Refused(f"That takes {len(steps)} changes. Change more at a time.", "fraction")
    return steps


def plan_plain_water(session: Session, actor: Actor, tank_id: int, told: PlainTold) -> Plan:
    """Lay out the changes; a salt course that runs in this tank is over."""
    actor.must_log()
    tank, water = find(session, Tank, tank_id), find(session, SourceWater, told.source_id)
    if told.start < actor.today:
        raise Refused(f"{day_words(told.start, actor.today)} is past. Give today or later.", "start")
    running = rows(
        session, Plan, Plan.tank_id == tank.id, Plan.kind == PlanKind.DESALTING, Plan.ended_on.is_(None)
    )
    if running:
        raise Refused(f"{running[0].title} runs already. End it first.", "fraction")
    steps = changes(tank_ledger(session, actor, tank.id), actor, water, told)
    entry = Entry(session, actor, "plan plain water")
    _end_salt(entry, tank)
    plan = lay_out(
        entry,
        Plan(
            kind=PlanKind.DESALTING,
            tank_id=tank.id,
            case_id=told.case_id,
            source_id=water.id,
            title=f"{tank.name} back to plain water",
            started_on=told.start,
        ),
        [
            Step(one.day, StepKind.CHANGE, fraction=one.fraction, salinity_g_per_l=one.g_per_l)
            for one in steps
        ],
    )
    last = day_words(steps[-1].day, actor.today)
    entry.tell(subject_of(plan), f"{plan.title}: {many(len(steps), 'change')} planned, done on {last}")
    return plan


def _end_salt(entry: Entry, tank: Tank) -> None:
    """End the salt courses of a tank."""
    for plan in rows(
        entry.session, Plan, Plan.tank_id == tank.id, Plan.kind == PlanKind.COURSE, Plan.ended_on.is_(None)
    ):
        if key_of(find(entry.session, Substance, plan.substance_id)) is Held.SALT:
            on = max(entry.actor.today, plan.started_on)
            finish(entry, plan, on, "followed by the way back to plain water")
