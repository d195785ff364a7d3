"""Breeding projects: planned, queued, started, rested and closed."""

from collections.abc import Sequence

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.core.wording import day_words
from app.services.journal import Entry
from app.services.order import renumber, swapped
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.lines import Line
from app.store.projects import Project, ProjectState
from app.store.session import find, rows
from app.store.tanks import Tank

LONGEST_AIM = 160
MOST_WANTED = 100_000

STEPS = {
    ProjectState.WAITING: {ProjectState.RUNNING, ProjectState.CLOSED},
    ProjectState.RUNNING: {ProjectState.RESTING, ProjectState.CLOSED},
    ProjectState.RESTING: {ProjectState.RUNNING, ProjectState.CLOSED},
    ProjectState.CLOSED: {ProjectState.WAITING, ProjectState.RUNNING},
}
"""What each state can become."""

TOLD = {
    ProjectState.WAITING: "waits again",
    ProjectState.RUNNING: "started",
    ProjectState.RESTING: "rests",
    ProjectState.CLOSED: "closed",
}


def plan_project(
    session: Session,
    actor: Actor,
    *,
    aim: str,
    line_id: int,
    tank_id: int | None = None,
    wanted: int | None = None,
    note: str = "",
) -> Project:
    """Put a project at the end of the queue."""
    actor.must_manage()
    _check(session, aim, line_id, tank_id, wanted)
    entry = Entry(session, actor, "plan project")
    project = entry.add(
        Project(
            line_id=line_id,
            tank_id=tank_id,
            aim=aim.strip(),
            wanted=wanted,
            state=ProjectState.WAITING,
            position=_last_position(session, actor) + 1,
            note=note.strip(),
        )
    )
    entry.tell(f"project:{project.id}", f"Project planned: {project.aim}")
    return project


def edit_project(
    session: Session,
    actor: Actor,
    project_id: int,
    *,
    aim: str,
    line_id: int,
    tank_id: int | None,
    wanted: int | None,
    note: str,
    closing_note: str | None = None,
) -> Project:
    """Change what a project aims at, and where; None leaves the closing note as it is."""
    actor.must_manage()
    project = find(session, Project, project_id)
    _check(session, aim, line_id, tank_id, wanted)
    entry = Entry(session, actor, "edit project")
    entry.change(
        project,
        aim=aim.strip(),
        line_id=line_id,
        tank_id=tank_id,
        wanted=wanted,
        note=note.strip(),
        closing_note=project.closing_note if closing_note is None else closing_note.strip(),
    )
    entry.tell(f"project:{project.id}", f"Project changed: {project.aim}")
    return project


def take_step(
    session: Session, actor: Actor, project_id: int, state: ProjectState, *, closing_note: str = ""
) -> Project:
    """Start, rest, close or reopen a project; only closing takes a note of what to do differently."""
    actor.must_manage()
    project = find(session, Project, project_id)
    if state not in STEPS[project.state]:
        raise Refused(f"The project is {project.state.value}; it cannot become {state.value}.", "state")
    entry = Entry(session, actor, "project state")
    if state is ProjectState.CLOSED:
        entry.change(project, closed_on=actor.today, closing_note=closing_note.strip())
    else:
        entry.change(project, closed_on=None)
    if state is ProjectState.RUNNING and project.started_on is None:
        entry.change(project, started_on=actor.today)
    if state is ProjectState.WAITING:
        entry.change(project, started_on=None, position=_last_position(session, actor) + 1)
    entry.change(project, state=state)
    entry.tell(f"project:{project.id}", f"Project {TOLD[state]}: {project.aim}")
    return project


def reorder(session: Session, actor: Actor, project_id: int, *, up: bool) -> Project:
    """Let a waiting project and its neighbour in the queue change places."""
    actor.must_manage()
    project = find(session, Project, project_id)
    queue = queued(session)
    if project not in queue:
        raise Refused(f"The project is {project.state.value}; only waiting ones queue.", "project")
    moved = swapped(queue, project, up=up)
    if moved is None:
        raise Refused(f"It is the {'first' if up else 'last'} of the queue already.", "project")
    entry = Entry(session, actor, "reorder projects")
    renumber(entry, moved)
    entry.tell(f"project:{project.id}", f"Now number {project.position} in the queue: {project.aim}")
    return project


def queued(session: Session) -> list[Project]:
    """Return the waiting projects in the keeper's order."""
    waiting: Sequence[Project] = rows(
        session, Project, Project.state == ProjectState.WAITING, order=(Project.position, Project.id)
    )
    return list(waiting)


def _check(session: Session, aim: str, line_id: int, tank_id: int | None, wanted: int | None) -> None:
    if not aim.strip():
        raise Refused("What is the aim? For example: 12 females with full blue bodies.", "aim")
    if len(aim.strip()) > LONGEST_AIM:
        raise Refused(f"The aim has at most {LONGEST_AIM} letters; the rest can go in the note.", "aim")
    if wanted is not None and not 0 < wanted <= MOST_WANTED:
        raise Refused(f"{wanted} fish cannot be wanted. Give a number above 0, or leave it empty.", "wanted")
    find(session, Line, line_id)
    if tank_id is not None:
        tank = find(session, Tank, tank_id)
        if tank.closed_on is not None:
            raise Refused(f"{tank.name} was taken down on {day_words(tank.closed_on)}.", "tank_id")


def _last_position(session: Session, actor: Actor) -> int:
    statement = select(func.max(Project.position)).where(Project.fishroom_id == actor.fishroom_id)
    return session.scalar(statement) or 0
