"""Courses in a tank, planned for a case: rising levels of salt, or a label's dose so many times."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.core.water.course import STRONGEST_G_PER_L, Dosing, raised, repeated
from app.core.water.ledger import Held
from app.core.wording import begun, day_words
from app.queries.evidence.waters import key_of
from app.queries.ledger import TankLedger, tank_ledger
from app.services.cases import still_open
from app.services.journal import Entry
from app.services.plans import Step, lay_out
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.plans import Plan, PlanKind, StepKind
from app.store.session import find, rows
from app.store.tanks import Tank
from app.store.waters import Hazard, Measure, Substance, SubstanceKind

TABLE_SALT = "table salt"
LONGEST_HOLD = 60
"""Days at strength; whoever needs more plans a second course (judgement)."""


@dataclass(frozen=True, slots=True)
class CourseTold:
    """What the keeper wants: rising levels of salt, or a label's dose by the litre so many times.

    Without a substance it is table salt. ``hold_days`` after the last dose the course asks for a
    decision: go on, ramp down, or stop.
    """

    tank_id: int
    substance_id: int | None
    start: date
    levels: tuple[float, ...] = ()
    per_litre: float | None = None
    times: int = 1
    every_days: int = 1
    hold_days: int = 7
    note: str = ""


def dosings(ledger: TankLedger, substance: Substance, told: CourseTold, at: datetime) -> tuple[Dosing, ...]:
    """Return the doses of a course from what the tank holds at a moment."""
    key = key_of(substance)
    now = ledger.level(key, at)
    if key is not Held.SALT:
        if told.per_litre is None:
            raise Refused(
                f"Give the dose by the litre that the label of {substance.name} tells.", "per_litre"
            )
        return repeated(ledger.litres, now or 0.0, told.per_litre, told.start, told.every_days, told.times)
    if now is None:
        raise Refused(
            f"How much salt {ledger.name} holds is not known. Test the water, or log which water went in.",
            "levels",
        )
    if not told.levels:
        raise Refused("To which level of salt? Give one or several that rise, like 1.5, 3.", "levels")
    if told.levels[-1] > STRONGEST_G_PER_L:
        raise Refused(
            f"{told.levels[-1]:g} g/L is a bath of hours, watched all the time, not a course of days. "
            f"Give at most {STRONGEST_G_PER_L:g} g/L.",
            "levels",
        )
    return raised(ledger.litres, now, told.levels, told.start, told.every_days)


def plan_course(session: Session, actor: Actor, case_id: int, told: CourseTold) -> Plan:
    """Lay out the doses of a course for a case; nothing is poured yet."""
    actor.must_log()
    case, tank = still_open(session, case_id), find(session, Tank, told.tank_id)
    entry = Entry(session, actor, "plan course")
    substance = _substance(entry, told.substance_id)
    _check(session, actor, tank, substance, told)
    doses = dosings(tank_ledger(session, actor, tank.id), substance, told, actor.now)
    plan = lay_out(
        entry,
        Plan(
            kind=PlanKind.COURSE,
            tank_id=tank.id,
            case_id=case.id,
            substance_id=substance.id,
            title=f"{begun(substance.name)} in {tank.name}",
            started_on=told.start,
            note=told.note.strip(),
        ),
        _steps(substance, told, doses),
    )
    began = day_words(told.start, actor.today)
    entry.tell(f"case:{case.id}", f"{plan.title}: course planned from {began}")
    return plan


def _substance(entry: Entry, substance_id: int | None) -> Substance:
    """Return what is dosed; table salt is added to what the keeper has where it was not told yet."""
    if substance_id is not None:
        return find(entry.session, Substance, substance_id)
    kept = rows(entry.session, Substance, Substance.name == TABLE_SALT)
    if kept:
        return kept[0]
    salt = Substance(
        name=TABLE_SALT,
        kind=SubstanceKind.SALT,
        measure=Measure.GRAM,
        hazard=Hazard.NONE,
        formula="NaCl",
        note="Plain sodium chloride, without anything that keeps it loose.",
    )
    return entry.add(salt)


def _check(session: Session, actor: Actor, tank: Tank, substance: Substance, told: CourseTold) -> None:
    if told.start < actor.today:
        raise Refused(
            f"{day_words(told.start, actor.today)} is past. A course begins today or later; "
            "what was dosed before is logged on the tank's water page.",
            "start",
        )
    if tank.closed_on is not None:
        raise Refused(f"{tank.name} was taken down on {day_words(tank.closed_on)}.", "tank_id")
    if substance.retired_on is not None:
        raise Refused(f"{substance.name} was put away. Choose another.", "substance_id")
    if not 0 <= told.hold_days <= LONGEST_HOLD:
        raise Refused(f"{told.hold_days} days at strength; give 0 to {LONGEST_HOLD}.", "hold_days")
    running = rows(
        session, Plan, Plan.tank_id == tank.id, Plan.substance_id == substance.id, Plan.ended_on.is_(None)
    )
    if running:
        raise Refused(f"{running[0].title} runs already. End it first.", "substance_id")


def _steps(substance: Substance, told: CourseTold, doses: Sequence[Dosing]) -> list[Step]:
    salt = key_of(substance) is Held.SALT
    kind = StepKind.RAISE if salt else StepKind.DOSE
    steps = [Step(dose.day, kind, level=dose.level if salt else told.per_litre) for dose in doses]
    over = doses[-1].day + timedelta(days=told.hold_days)
    words = "Look again: go on, change back to plain water, or stop"
    return [*steps, Step(over, StepKind.DECIDE, note=words)]
