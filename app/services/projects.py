"""Breeding projects: planned, queued, started, rested and closed."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import date

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.core.wording import day_words
from app.services import project_checks
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
LONGEST_PURPOSE = 80
LARGEST_TANK = 20_000
LONGEST_DAYS = 3_650

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


@dataclass(frozen=True, slots=True)
class Needs:
    """How many of each sex are wanted, what the tank must be like, from when, and how long it may last."""

    wanted_females: int | None = None
    wanted_males: int | None = None
    purpose: str = ""
    least_litres: float | None = None
    not_before: date | None = None
    lasts_from_days: int | None = None
    lasts_to_days: int | None = None


NOTHING_MORE = Needs()


def plan_project(
    session: Session,
    actor: Actor,
    *,
    aim: str,
    line_id: int,
    tank_id: int | None = None,
    wanted: int | None = None,
    note: str = "",
    needs: Needs = NOTHING_MORE,
) -> Project:
    """Put a project at the end of the queue."""
    actor.must_manage()
    _check(session, aim, line_id, tank_id, wanted)
    _check_needs(needs)
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
            **asdict(needs),
        )
    )
    project_checks.usual(entry, project)
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
    needs: Needs | None = None,
) -> Project:
    """Change what a project aims at, and where; None leaves closing note and needs as they are."""
    actor.must_manage()
    project = find(session, Project, project_id)
    _check(session, aim, line_id, tank_id, wanted)
    if needs is not None:
        _check_needs(needs)
    entry = Entry(session, actor, "edit project")
    entry.change(
        project,
        aim=aim.strip(),
        line_id=line_id,
        tank_id=tank_id,
        wanted=wanted,
        note=note.strip(),
        closing_note=project.closing_note if closing_note is None else closing_note.strip(),
        **(asdict(needs) if needs is not None else {}),
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


def _check_needs(needs: Needs) -> None:
    for field in ("wanted_females", "wanted_males"):
        number = getattr(needs, field)
        if number is not None and not 0 < number <= MOST_WANTED:
            raise Refused(f"{number} cannot be wanted. Give a number above 0, or leave it empty.", field)
    if len(needs.purpose) > LONGEST_PURPOSE:
        raise Refused(f"At most {LONGEST_PURPOSE} letters; the rest can go in the note.", "purpose")
    if needs.least_litres is not None and not 0 < needs.least_litres < LARGEST_TANK:
        raise Refused("Give litres above 0, such as 60, or leave it empty.", "least_litres")
    for field in ("lasts_from_days", "lasts_to_days"):
        days = getattr(needs, field)
        if days is not None and not 0 < days <= LONGEST_DAYS:
            raise Refused(f"{days} days cannot be; give 1 to {LONGEST_DAYS}, or leave it empty.", field)
    if needs.lasts_from_days and needs.lasts_to_days and needs.lasts_from_days > needs.lasts_to_days:
        raise Refused(
            f"From {needs.lasts_from_days} to {needs.lasts_to_days} days: give the shorter first.",
            "lasts_to_days",
        )


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
