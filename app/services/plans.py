"""Plans of a tank: laying out dated steps, ticking them, skipping them, ending the plan."""

from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from datetime import date

from sqlalchemy.orm import Session

from app.core.wording import day_words
from app.services.journal import Entry
from app.services.refusals import Refused
from app.services.stays import not_ahead
from app.store.actor import Actor
from app.store.plans import Plan, PlanFish, PlanKind, PlanStep, StepKind
from app.store.session import find, rows

LONGEST_TITLE = 120
LOOKED_AT = {StepKind.LOOK, StepKind.DECIDE}
"""Steps that pour nothing: they are done once somebody looked or decided."""
ENDS_ITSELF = {PlanKind.ACCLIMATION, PlanKind.DESALTING}
"""Plans that are over with their last step; a course and a quarantine end by a decision."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step to be laid out: its day, what it asks for, and its aim."""

    due_on: date
    kind: StepKind
    level: float | None = None
    fraction: float | None = None
    salinity_g_per_l: float | None = None
    gh_dh: float | None = None
    temperature_c: float | None = None
    note: str = ""


def lay_out(entry: Entry, plan: Plan, steps: Iterable[Step], fish_ids: Iterable[int] = ()) -> Plan:
    """Add a plan with its steps, and the fish it is for."""
    plan.title = plan.title[:LONGEST_TITLE]
    made = entry.add(plan)
    for fish_id in fish_ids:
        entry.add(PlanFish(plan_id=made.id, fish_id=fish_id))
    for step in steps:
        add_step(entry, made, step)
    return made


def add_step(entry: Entry, plan: Plan, step: Step) -> None:
    """Add one step to a plan that is there."""
    entry.add(PlanStep(plan_id=plan.id, **asdict(step)))


def steps_of(session: Session, plan: Plan) -> Sequence[PlanStep]:
    """Return the steps of a plan by day."""
    return rows(session, PlanStep, PlanStep.plan_id == plan.id, order=(PlanStep.due_on, PlanStep.id))


def open_step(session: Session, step_id: int) -> tuple[Plan, PlanStep]:
    """Return a step that is still to be done, and its plan; refuse one that is settled."""
    step = find(session, PlanStep, step_id)
    plan = find(session, Plan, step.plan_id)
    still_running(plan)
    if step.skipped:
        raise Refused("This step was skipped. Take that back first.", "step")
    if step.done_on is not None:
        raise Refused(f"This step was done on {day_words(step.done_on)} already.", "step")
    return plan, step


def still_running(plan: Plan) -> None:
    """Refuse to go on with a plan that has ended."""
    if plan.ended_on is not None:
        raise Refused(f"This plan ended on {day_words(plan.ended_on)}. Take that back first.", "plan")


def tick(
    entry: Entry,
    plan: Plan,
    step: PlanStep,
    on: date,
    *,
    dose_id: int | None = None,
    change_id: int | None = None,
    note: str = "",
) -> None:
    """Mark a step as done, with what was poured for it; a plan that ends itself may be over."""
    said = "\n".join(filter(None, (step.note, note.strip())))
    entry.change(step, done_on=on, dose_id=dose_id, change_id=change_id, note=said)
    _end_if_over(entry, plan, on)


def look(session: Session, actor: Actor, step_id: int, *, on: date, note: str = "") -> PlanStep:
    """Tick a step for which somebody only had to look or to decide."""
    actor.must_log()
    not_ahead(actor, on, "on")
    plan, step = open_step(session, step_id)
    if step.kind not in LOOKED_AT:
        raise Refused("This step asks for water or a dose; log what was poured.", "step")
    entry = Entry(session, actor, "do step")
    tick(entry, plan, step, on, note=note)
    if step.kind is StepKind.LOOK:
        _pass_over(entry, plan, step)
    done = "looked at" if step.kind is StepKind.LOOK else f"{step.kind.value}, done"
    entry.tell(subject_of(plan), f"{plan.title}: {done} on {day_words(on, actor.today)}")
    return step


def _pass_over(entry: Entry, plan: Plan, seen: PlanStep) -> None:
    """Skip looks of earlier days that nobody ticked: a look today stands for them."""
    for step in steps_of(entry.session, plan):
        missed = step.kind is StepKind.LOOK and step.done_on is None and not step.skipped
        if missed and step.due_on < seen.due_on:
            entry.change(step, skipped=True)


def skip(session: Session, actor: Actor, step_id: int, *, note: str = "") -> PlanStep:
    """Leave a step out."""
    actor.must_log()
    plan, step = open_step(session, step_id)
    entry = Entry(session, actor, "skip step")
    entry.change(step, skipped=True, note="\n".join(filter(None, (step.note, note.strip()))))
    _end_if_over(entry, plan, actor.today)
    entry.tell(subject_of(plan), f"{plan.title}: step of {day_words(step.due_on, actor.today)} skipped")
    return step


def end(session: Session, actor: Actor, plan_id: int, *, on: date, outcome: str = "") -> Plan:
    """End a plan; what is still open of it is not asked any more."""
    actor.must_log()
    not_ahead(actor, on, "on")
    plan = find(session, Plan, plan_id)
    still_running(plan)
    if plan.kind is PlanKind.QUARANTINE:
        raise Refused("A quarantine ends by a decision: move on, wait longer, or open a case.", "on")
    entry = Entry(session, actor, "end plan")
    finish(entry, plan, on, outcome)
    entry.tell(subject_of(plan), f"{plan.title} ended on {day_words(on, actor.today)}")
    return plan


def finish(entry: Entry, plan: Plan, on: date, outcome: str = "") -> None:
    """End a plan as part of a larger act."""
    if on < plan.started_on:
        began = day_words(plan.started_on, entry.actor.today)
        raise Refused(f"The plan began on {began}. Give that day or later.", "on")
    entry.change(plan, ended_on=on, outcome=outcome.strip()[:160])


def subject_of(plan: Plan) -> str:
    """Return whose page a plan's acts belong to: its case, or the plan itself."""
    return f"case:{plan.case_id}" if plan.case_id is not None else f"plan:{plan.id}"


def _end_if_over(entry: Entry, plan: Plan, on: date) -> None:
    if plan.kind not in ENDS_ITSELF:
        return
    if all(step.skipped or step.done_on is not None for step in steps_of(entry.session, plan)):
        finish(entry, plan, max(on, plan.started_on), "all steps done")
