"""One plan: what is true of it now, its next step, and what was done for it."""

from dataclasses import dataclass

from sqlalchemy.orm import Session

from app.queries.courses import Lack, level_now, off_course
from app.queries.history import Event, undoable
from app.queries.ledger import tank_ledger
from app.queries.plans import PlanShown, apart, fish_of_plan, level_words, plans_shown
from app.store.actor import Actor
from app.store.cases import Case
from app.store.journal import Act
from app.store.plans import Plan
from app.store.session import NotFound, find, rows
from app.store.waters import Substance


@dataclass(frozen=True, slots=True)
class PlanPage:
    """A plan with what its water holds now, the fish it is for, and its case.

    ``apart`` where the fish wait in a box: then the water is theirs, not the tank's.
    """

    plan: PlanShown
    apart: bool
    level: str
    lacks: tuple[Lack, ...]
    over: tuple[str, ...]
    fish: tuple[tuple[int, str], ...]
    case: tuple[int, str] | None
    history: tuple[Event, ...]


def plan_page(session: Session, actor: Actor, plan_id: int) -> PlanPage:
    """Read one plan."""
    found = plans_shown(session, actor, Plan.id == plan_id)
    if not found:
        raise NotFound(f"no plan {plan_id} here")
    (plan,) = found
    made = find(session, Substance, plan.substance_id) if plan.substance_id is not None else None
    box = apart(find(session, Plan, plan.id))
    level = level_now(tank_ledger(session, actor, plan.tank_id), made, actor.now)
    case = find(session, Case, plan.case_id) if plan.case_id is not None else None
    off = off_course(session, actor, [plan])
    return PlanPage(
        plan,
        box,
        _theirs(plan) if box else level_words(level, made) if level is not None else "not known",
        off.lacks,
        off.over,
        fish_of_plan(session, plan.id),
        (case.id, case.title) if case is not None else None,
        _history(session, actor, plan),
    )


def _theirs(plan: PlanShown) -> str:
    """Say what the box holds after the steps done so far."""
    done = [step for step in plan.steps if step.state == "done"]
    if not done:
        return "the one they came in"
    return "the tank’s" if done[-1].fraction == 1.0 else done[-1].aim or "not known"


def _history(session: Session, actor: Actor, plan: PlanShown) -> tuple[Event, ...]:
    """Tell what was done for a plan of its own; that of a case is told on the case's page."""
    acts = rows(session, Act, Act.subject == f"plan:{plan.id}", Act.undone_at.is_(None), order=Act.id.desc())
    return tuple(
        Event(actor.day(act.at), act.words, "", _kind(act), None, undoable(actor, act)) for act in acts
    )


def _kind(act: Act) -> str:
    return {"do step": "done", "put back": "water", "end plan": "closed"}.get(act.verb, "note")
