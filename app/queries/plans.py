"""Plans as pages show them: every step with its words and state, and the steps that are open."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.quantities import Units, show_hardness, show_salinity, show_share, show_temperature
from app.core.reminders import StepFact
from app.core.water.ledger import Held
from app.core.water.levels import show_held, show_level
from app.queries.evidence.waters import key_of
from app.queries.history import act_of_rows
from app.queries.occupants import label_of
from app.store.actor import Actor
from app.store.fish import Fish
from app.store.plans import Plan, PlanFish, PlanKind, PlanStep, StepKind
from app.store.session import rows
from app.store.tanks import Tank
from app.store.waters import SourceWater, Substance


@dataclass(frozen=True, slots=True)
class StepShown:
    """One step: its day, its words, and whether it is done, skipped, late, due today or ahead."""

    id: int
    due_on: date
    kind: str
    words: str
    aim: str
    note: str
    state: str
    done_on: date | None
    level: float | None
    fraction: float | None
    salinity_g_per_l: float | None
    dose_id: int | None
    change_id: int | None

    @property
    def open(self) -> bool:
        """Whether it is still to be done."""
        return self.state in {"late", "due", "ahead"}

    @property
    def day(self) -> date:
        """The day it was done, or else is due."""
        return self.done_on or self.due_on


@dataclass(frozen=True, slots=True)
class PlanShown:
    """One plan with its steps by day; ``act_id`` is the act that laid it out."""

    id: int
    kind: str
    title: str
    tank_id: int
    tank: str
    litres: float
    case_id: int | None
    substance_id: int | None
    substance: str
    measure: str
    source_id: int | None
    source: str
    started_on: date
    ended_on: date | None
    outcome: str
    note: str
    steps: tuple[StepShown, ...]
    act_id: int | None

    @property
    def running(self) -> bool:
        """Whether it has not ended."""
        return self.ended_on is None

    @property
    def next(self) -> StepShown | None:
        """The step to do next: what is due before what is ahead; of looks that were missed the last."""
        left = [step for step in self.steps if step.open] if self.running else []
        due = [step for step in left if step.state != "ahead"]
        acts = [step for step in due if step.kind != "look"]
        return next(iter(acts or due[-1:] or left), None)

    @property
    def decision(self) -> StepShown | None:
        """The open step that decides how a quarantine ends."""
        if self.kind != "quarantine" or not self.running:
            return None
        return next((step for step in self.steps if step.open and step.kind == "decide"), None)

    @property
    def done(self) -> int:
        """How many steps are done."""
        return sum(1 for step in self.steps if step.state == "done")


def plans_shown(session: Session, actor: Actor, *conditions: Any) -> tuple[PlanShown, ...]:  # noqa: ANN401
    """Return the plans that meet ``conditions``, the newest first, in a fixed number of statements."""
    statement = (
        select(Plan, Tank, Substance, SourceWater)
        .join(Tank, Tank.id == Plan.tank_id)
        .outerjoin(Substance, Substance.id == Plan.substance_id)
        .outerjoin(SourceWater, SourceWater.id == Plan.source_id)
        .where(Plan.fishroom_id == actor.fishroom_id, *conditions)
        .order_by(Plan.started_on.desc(), Plan.id.desc())
    )
    found = [(plan, tank, made, water) for plan, tank, made, water in session.execute(statement)]
    ids = [plan.id for plan, *_ in found]
    steps: dict[int, list[PlanStep]] = defaultdict(list)
    for step in rows(session, PlanStep, PlanStep.plan_id.in_(ids), order=(PlanStep.due_on, PlanStep.id)):
        steps[step.plan_id].append(step)
    acts = act_of_rows(session, actor, "plan", ids)
    return tuple(
        _plan(actor, plan, tank, made, water, steps[plan.id], acts.get(plan.id))
        for plan, tank, made, water in found
    )


def _plan(
    actor: Actor,
    plan: Plan,
    tank: Tank,
    made: Substance | None,
    water: SourceWater | None,
    steps: Sequence[PlanStep],
    act_id: int | None,
) -> PlanShown:
    return PlanShown(
        plan.id,
        plan.kind.value,
        plan.title,
        tank.id,
        tank.name,
        tank.litres,
        plan.case_id,
        plan.substance_id,
        made.name if made is not None else "",
        made.measure.value if made is not None else "",
        plan.source_id,
        water.name if water is not None else "",
        plan.started_on,
        plan.ended_on,
        plan.outcome,
        plan.note,
        tuple(_step(actor, step, made, apart=apart(plan)) for step in steps),
        act_id,
    )


def _step(actor: Actor, step: PlanStep, made: Substance | None, *, apart: bool) -> StepShown:
    return StepShown(
        step.id,
        step.due_on,
        step.kind.value,
        step_words(step, made, actor.units, apart=apart),
        _aim(step, actor.units),
        step.note,
        _state(step, actor.today),
        step.done_on,
        step.level,
        step.fraction,
        step.salinity_g_per_l,
        step.dose_id,
        step.change_id,
    )


def _state(step: PlanStep, today: date) -> str:
    if step.done_on is not None:
        return "done"
    if step.skipped:
        return "skipped"
    if step.due_on == today:
        return "due"
    return "late" if step.due_on < today else "ahead"


def apart(plan: Plan) -> bool:
    """Say whether fish wait in a box of their own, whose water is replaced with the tank's."""
    return plan.kind is PlanKind.ACCLIMATION and plan.source_id is None


def step_words(step: PlanStep, made: Substance | None, units: Units, *, apart: bool = False) -> str:
    """Say what a step asks for: ``raise salt to 1.5 g/L``, ``change 40 % of the water``."""
    what = made.name if made is not None else "salt"
    match step.kind:
        case StepKind.RAISE:
            return f"raise {what} to {level_words(step.level or 0.0, made)}"
        case StepKind.DOSE:
            return f"dose {what}, {level_words(step.level or 0.0, made)}"
        case StepKind.CHANGE:
            share = show_share(step.fraction) if step.fraction is not None else "some"
            if apart and step.fraction == 1.0:
                return "let them into the tank"
            aim = _aim(step, units)
            what = (
                f"replace {share} of their water with the tank’s" if apart else f"change {share} of the water"
            )
            return f"{what}, to {aim}" if aim else what
        case StepKind.LOOK | StepKind.DECIDE:
            return step.note.split("\n", 1)[0] or step.kind.value


def level_words(level: float, made: Substance | None) -> str:
    """Return how much of a substance is in a litre, as people say it; salt where none is named."""
    key = key_of(made) if made is not None else Held.SALT
    if isinstance(key, Held) or made is None:
        return show_held(key if isinstance(key, Held) else Held.SALT, level)
    return show_level(level, made.measure)


def _aim(step: PlanStep, units: Units) -> str:
    """Say what the water is to be after a step."""
    parts = [
        show_salinity(step.salinity_g_per_l) if step.salinity_g_per_l is not None else "",
        f"GH {show_hardness(step.gh_dh, units)}" if step.gh_dh is not None else "",
        show_temperature(step.temperature_c, units) if step.temperature_c is not None else "",
    ]
    return ", ".join(part for part in parts if part)


def fish_of_plan(session: Session, plan_id: int) -> tuple[tuple[int, str], ...]:
    """Return the fish a plan is for, with what they are called."""
    ids = [each.fish_id for each in rows(session, PlanFish, PlanFish.plan_id == plan_id)]
    return tuple((one.id, label_of(one)) for one in rows(session, Fish, Fish.id.in_(ids), order=Fish.code))


def plans_of_fish(session: Session, actor: Actor, fish_id: int) -> tuple[PlanShown, ...]:
    """Return the plans that run for a fish."""
    mine = select(PlanFish.plan_id).where(PlanFish.fish_id == fish_id)
    return plans_shown(session, actor, Plan.id.in_(mine), Plan.ended_on.is_(None))


def open_steps(session: Session, actor: Actor) -> tuple[StepFact, ...]:
    """Return every step that is still to be done of the plans that run, for the reminder rule."""
    statement = (
        select(PlanStep, Plan, Substance)
        .join(Plan, Plan.id == PlanStep.plan_id)
        .outerjoin(Substance, Substance.id == Plan.substance_id)
        .where(
            PlanStep.fishroom_id == actor.fishroom_id,
            Plan.ended_on.is_(None),
            PlanStep.done_on.is_(None),
            PlanStep.skipped.is_(False),
        )
        .order_by(PlanStep.due_on, PlanStep.id)
    )
    return tuple(
        StepFact(
            step.id,
            plan.id,
            plan.kind.value,
            plan.title,
            step.kind.value,
            plan.tank_id,
            step.due_on,
            step_words(step, made, actor.units, apart=apart(plan)),
        )
        for step, plan, made in session.execute(statement)
    )
