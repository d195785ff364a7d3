"""The projects: by state and in the keeper's order, and one with its pairings, broods and history."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.core.day_distribution import DayDistribution
from app.core.planning import tank_free
from app.core.species import SPECIES
from app.core.windows import Window
from app.core.wording import day_words, many
from app.queries.books import books
from app.queries.choices import open_tanks
from app.queries.history import Event
from app.queries.occupants import Occupant, label_of, occupants_by_section
from app.queries.outlook import BatchOutlook, batch_outlooks, birth_outlooks
from app.queries.pairings import PairingShown, pairings_page
from app.queries.planning import Plan, ProjectPlan, plan_of
from app.queries.project_books import Money, StageShown, checklist, money
from app.store.actor import Actor
from app.store.batches import Batch
from app.store.broods import Brood
from app.store.fish import Fish
from app.store.journal import Act
from app.store.lines import Line
from app.store.pairings import Pairing
from app.store.projects import Project, ProjectState
from app.store.session import find, rows
from app.store.tanks import Section, Tank

KINDS = {"plan project": "waiting", "project state": "note", "edit project": "note"}


@dataclass(frozen=True, slots=True)
class TankNeeded:
    """The tank a project is meant for, and when it is likely free."""

    id: int
    name: str
    closed: bool
    empty: bool
    free: Window | None
    words: str


@dataclass(frozen=True, slots=True)
class ProjectShown:
    """One project as the list tells it."""

    id: int
    aim: str
    state: str
    line_id: int
    line: str
    species: str
    tank: TankNeeded | None
    wanted: int | None
    wanted_females: int | None
    wanted_males: int | None
    purpose: str
    least_litres: float | None
    not_before: date | None
    lasts_from_days: int | None
    lasts_to_days: int | None
    started_on: date | None
    closed_on: date | None
    note: str
    closing_note: str
    pairings: int
    young: int
    alive: int


@dataclass(frozen=True, slots=True)
class ProjectsPage:
    """All projects by state; the waiting ones in the keeper's order."""

    running: tuple[ProjectShown, ...]
    waiting: tuple[ProjectShown, ...]
    resting: tuple[ProjectShown, ...]
    closed: tuple[ProjectShown, ...]
    plan: Plan

    @property
    def any(self) -> bool:
        """Whether there is any project."""
        return bool(self.running or self.waiting or self.resting or self.closed)


@dataclass(frozen=True, slots=True)
class ProjectBrood:
    """One brood that came of a project."""

    id: int
    code: str
    dam: str
    day: date
    when: str
    live: int
    alive: int


@dataclass(frozen=True, slots=True)
class ProjectPage:
    """One project: where it stands, what came of it, and what was done."""

    shown: ProjectShown
    pairings: tuple[PairingShown, ...]
    broods: tuple[ProjectBrood, ...]
    plan: ProjectPlan | None
    checklist: tuple[StageShown, ...]
    money: Money
    history: tuple[Event, ...]


@dataclass(frozen=True, slots=True)
class ProjectChoices:
    """What a project can be planned for."""

    lines: tuple[tuple[int, str], ...]
    tanks: tuple[tuple[int, str], ...]


@dataclass(frozen=True, slots=True)
class _Broods:
    """The broods of projects with their dams, and how many of their fry are alive here."""

    by_project: dict[int, list[tuple[Brood, Fish]]]
    alive: dict[int, int]


def projects_page(session: Session, actor: Actor) -> ProjectsPage:
    """Read every project in a fixed number of statements."""
    found = rows(session, Project, order=(Project.position, Project.id))
    births, batches = birth_outlooks(session, actor), batch_outlooks(session, actor)
    shown = _all_shown(session, actor, found, _broods(session, actor), batches)

    def in_state(state: ProjectState) -> tuple[ProjectShown, ...]:
        return tuple(each for each in shown if each.state == state.value)

    closed = sorted(in_state(ProjectState.CLOSED), key=lambda p: p.closed_on or date.min, reverse=True)
    return ProjectsPage(
        in_state(ProjectState.RUNNING),
        in_state(ProjectState.WAITING),
        in_state(ProjectState.RESTING),
        tuple(closed),
        plan_of(session, actor, known=(births, batches)),
    )


def _all_shown(
    session: Session,
    actor: Actor,
    projects: Sequence[Project],
    broods: _Broods,
    known: Mapping[int, BatchOutlook] | None = None,
) -> list[ProjectShown]:
    lines = {line.id: line for line in rows(session, Line)}
    wanted = [each.tank_id for each in projects if each.tank_id is not None]
    tanks = tanks_needed(session, actor, wanted, known)
    statement = (
        select(Pairing.project_id, func.count())
        .where(Pairing.fishroom_id == actor.fishroom_id, Pairing.project_id.is_not(None))
        .group_by(Pairing.project_id)
    )
    pairings = {project_id: number for project_id, number in session.execute(statement)}  # noqa: C416
    return [_shown(each, lines[each.line_id], tanks, pairings.get(each.id, 0), broods) for each in projects]


def _shown(
    project: Project, line: Line, tanks: dict[int, TankNeeded], pairings: int, broods: _Broods
) -> ProjectShown:
    mine = [brood for brood, _ in broods.by_project.get(project.id, [])]
    return ProjectShown(
        project.id,
        project.aim,
        project.state.value,
        line.id,
        line.name,
        SPECIES[line.species].common_name,
        tanks.get(project.tank_id or 0),
        project.wanted,
        project.wanted_females,
        project.wanted_males,
        project.purpose,
        project.least_litres,
        project.not_before,
        project.lasts_from_days,
        project.lasts_to_days,
        project.started_on,
        project.closed_on,
        project.note,
        project.closing_note,
        pairings,
        sum(brood.live for brood in mine),
        sum(broods.alive.get(brood.id, 0) for brood in mine),
    )


def tanks_needed(
    session: Session,
    actor: Actor,
    tank_ids: Sequence[int],
    known: Mapping[int, BatchOutlook] | None = None,
) -> dict[int, TankNeeded]:
    """Say of tanks when each is likely free: all its batches ready to leave, as reckoned or as known."""
    tanks = rows(session, Tank, Tank.id.in_(tank_ids))
    sections = {s.id: s.tank_id for s in rows(session, Section, Section.tank_id.in_(tank_ids))}
    standing: dict[int, list[Occupant]] = defaultdict(list)
    for section_id, found in occupants_by_section(session, actor).items():
        if section_id in sections:
            standing[sections[section_id]].extend(found)
    batch_ids = [one.id for found in standing.values() for one in found if one.kind == "batch"]
    outlooks = batch_outlooks(session, actor, batch_ids) if known is None else known
    return {
        tank.id: _needed(
            tank,
            standing.get(tank.id, []),
            [
                outlooks[one.id].ready.when
                for one in standing.get(tank.id, [])
                if one.kind == "batch" and one.id in outlooks
            ],
            actor.today,
        )
        for tank in tanks
    }


def _needed(tank: Tank, standing: list[Occupant], ready: list[DayDistribution], today: date) -> TankNeeded:
    free = tank_free(ready, today).window() if ready else None
    adults = sum(one.number for one in standing if one.kind == "fish")
    stay = f"{many(adults, 'adult')} would have to move" if adults else ""
    return TankNeeded(tank.id, tank.name, tank.closed_on is not None, not standing, free, stay)


def _broods(session: Session, actor: Actor, project_id: int | None = None) -> _Broods:
    statement = (
        select(Pairing.project_id, Brood, Fish)
        .join(Brood, Brood.pairing_id == Pairing.id)
        .join(Fish, Fish.id == Brood.dam_id)
        .where(Pairing.fishroom_id == actor.fishroom_id, Pairing.project_id.is_not(None))
        .order_by(Brood.dropped_to.desc(), Brood.id.desc())
    )
    if project_id is not None:
        statement = statement.where(Pairing.project_id == project_id)
    by_project: dict[int, list[tuple[Brood, Fish]]] = defaultdict(list)
    for owner, brood, dam in session.execute(statement):
        by_project[owner or 0].append((brood, dam))
    ids = [brood.id for found in by_project.values() for brood, _ in found]
    batches = rows(session, Batch, Batch.brood_id.in_(ids), Batch.closed_on.is_(None))
    ledgers = books(session, actor.fishroom_id, [batch.id for batch in batches])
    alive: dict[int, int] = defaultdict(int)
    for batch in batches:
        alive[batch.brood_id or 0] += ledgers[batch.id].alive
    return _Broods(by_project, alive)


def project_page(session: Session, actor: Actor, project_id: int) -> ProjectPage:
    """Read one project."""
    project = find(session, Project, project_id)
    broods = _broods(session, actor, project.id)
    mine = select(Pairing.id).where(
        Pairing.project_id == project.id, Pairing.fishroom_id == actor.fishroom_id
    )
    ids = set(session.scalars(mine))
    every = pairings_page(session, actor)
    acts = rows(
        session,
        Act,
        Act.subject == f"project:{project.id}",
        Act.undone_at.is_(None),
        Act.verb != "tick checklist",
    )
    return ProjectPage(
        _all_shown(session, actor, [project], broods)[0],
        tuple(each for each in (*every.running, *every.ended) if each.id in ids),
        tuple(
            ProjectBrood(
                brood.id, brood.code, label_of(dam), brood.dropped_to,
                day_words(brood.dropped_to, actor.today), brood.live, broods.alive.get(brood.id, 0),
            )
            for brood, dam in broods.by_project.get(project.id, [])
        ),
        plan_of(session, actor).project(project.id) if project.state is ProjectState.WAITING else None,
        checklist(session, project.id),
        money(session, actor, project.id),
        tuple(_event(actor, act) for act in reversed(acts)),
    )  # fmt: skip


def _event(actor: Actor, act: Act) -> Event:
    undo = act.id if actor.may_manage else None
    words = act.words.split(":", 1)[0] if act.verb in KINDS else act.words
    return Event(actor.day(act.at), words, "", KINDS.get(act.verb, "note"), None, undo)


def project_choices(session: Session) -> ProjectChoices:
    """Read the lines and open tanks."""
    return ProjectChoices(
        tuple((line.id, line.name) for line in rows(session, Line, order=(Line.name, Line.id))),
        open_tanks(session),
    )
