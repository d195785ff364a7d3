"""What the reminder rules need to know of projects: who can start when, and which line is to be done."""

from collections.abc import Mapping, Sequence

from sqlalchemy.orm import Session

from app.core.reminders import ProjectFact
from app.queries.outlook import BatchOutlook, BirthOutlook
from app.queries.planning import ProjectPlan, plan_of
from app.queries.project_young import young_of
from app.store.actor import Actor
from app.store.projects import Project, ProjectCheck, ProjectState, Stage
from app.store.session import rows
from app.store.tanks import Tank


def project_facts(
    session: Session, actor: Actor, births: Mapping[int, BirthOutlook], batches: Mapping[int, BatchOutlook]
) -> tuple[tuple[ProjectFact, ...], tuple[ProjectPlan, ...]]:
    """Return the waiting and running projects, and the plan of those that wait; none cost one statement."""
    found = rows(session, Project, Project.state.in_([ProjectState.WAITING, ProjectState.RUNNING]))
    running = [project for project in found if project.state is ProjectState.RUNNING]
    waiting = {project.id: project for project in found if project.state is ProjectState.WAITING}
    facts = _running(session, actor, running, batches) if running else []
    planned = plan_of(session, actor, known=(births, batches)).projects if waiting else ()
    facts += [
        ProjectFact(one.id, one.aim, waiting[one.id].line_id, one.tank_id, one.tank, one.slot.start_80)
        for one in planned
        if not one.clash_words
    ]
    return tuple(facts), planned


def _running(
    session: Session, actor: Actor, running: Sequence[Project], batches: Mapping[int, BatchOutlook]
) -> list[ProjectFact]:
    ids = [project.id for project in running]
    names = {tank.id: tank.name for tank in rows(session, Tank)}
    young = young_of(session, actor, ids)
    todo: dict[tuple[int, Stage], ProjectCheck] = {}
    for check in rows(
        session,
        ProjectCheck,
        ProjectCheck.project_id.in_(ids),
        ProjectCheck.done_on.is_(None),
        order=(ProjectCheck.position, ProjectCheck.id),
    ):
        todo.setdefault((check.project_id, check.stage), check)
    facts = []
    for project in running:
        born = young.get(project.id)
        line = todo.get((project.id, _stage(actor, born, batches)))
        facts.append(
            ProjectFact(
                project.id,
                project.aim,
                project.line_id,
                project.tank_id,
                names.get(project.tank_id or 0, ""),
                check_id=None if line is None else line.id,
                check="" if line is None else line.words,
            )
        )
    return facts


def _stage(actor: Actor, born: Sequence[int] | None, batches: Mapping[int, BatchOutlook]) -> Stage:
    """Say how far a project has come, by its young."""
    if born is None:
        return Stage.PAIR
    here = [batches[batch_id] for batch_id in born if batch_id in batches and batches[batch_id].ledger.alive]
    if not here:
        return Stage.CLOSE
    if any(one.ready.window_80 and one.ready.window_80.start <= actor.today for one in here):
        return Stage.REHOME
    if any(one.sexing.opens <= actor.today for one in here):
        return Stage.CHOOSE
    return Stage.RAISE
