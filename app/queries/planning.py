"""The plan: when each tank comes free, and when each waiting project can start and would end."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Self

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.day_distribution import DayDistribution
from app.core.durations import project_lasts, settled
from app.core.planning import Clash, Slot, clashes, schedule, tank_free
from app.core.planning import Project as Wanted
from app.core.ribbon import Ribbon, ribbon_from_window
from app.core.wording import many, month_words, window_words
from app.queries.evidence.lines import lines_by_id, species_of
from app.queries.outlook import BatchOutlook, BirthOutlook, batch_outlooks, birth_outlooks
from app.queries.running_projects import running_projects
from app.store.actor import Actor
from app.store.fishrooms import Fishroom
from app.store.projects import Project, ProjectState
from app.store.session import rows
from app.store.stays import Stay
from app.store.tanks import Section, Tank


@dataclass(frozen=True, slots=True)
class WhatIf:
    """A change that is tried without being saved: a project later, or in another tank; fish sold smaller."""

    project_id: int | None = None
    delay_days: int = 0
    tank_id: int | None = None
    sale_length_mm: float | None = None

    @property
    def any(self) -> bool:
        """Whether anything is tried at all."""
        return bool(self.sale_length_mm or (self.project_id and (self.delay_days or self.tank_id)))


@dataclass(frozen=True, slots=True)
class TankPlan:
    """One tank: when it is free for the first of the queue, and what stands in the way."""

    id: int
    name: str
    litres: float
    free: DayDistribution
    empty: bool
    adults: int
    ribbon: Ribbon | None
    words: str


@dataclass(frozen=True, slots=True)
class Choice:
    """Something that would help a project that has to wait, and when it could start then."""

    words: str
    start: date | None


@dataclass(frozen=True, slots=True)
class ProjectPlan:
    """One waiting project's place: its tank, its start and end, whom it waits for, and what would help."""

    id: int
    aim: str
    place: int
    tank_id: int
    tank: str
    slot: Slot
    ribbon: Ribbon | None
    start_words: str
    end_words: str
    clash_words: str
    choices: tuple[Choice, ...]

    @property
    def words(self) -> str:
        """Say its tank, start and end in one line."""
        return f"{self.tank}: {self.start_words}, {self.end_words}"


@dataclass(frozen=True, slots=True)
class Plan:
    """The whole plan; ``homeless`` are waiting projects that no tank suits."""

    tanks: tuple[TankPlan, ...]
    projects: tuple[ProjectPlan, ...]
    homeless: tuple[tuple[int, str], ...]

    def project(self, project_id: int) -> ProjectPlan | None:
        """Return one project's place."""
        return next((one for one in self.projects if one.id == project_id), None)


@dataclass(frozen=True, slots=True)
class Moved:
    """What a tried change does to one project."""

    aim: str
    was: str
    now: str


@dataclass(frozen=True, slots=True)
class PlanPage:
    """The plan as it stands, and beside it what a change would do that is not saved."""

    plan: Plan
    tried: Plan | None
    moved: tuple[Moved, ...]
    turn_round_days: int
    money: str


@dataclass(frozen=True, slots=True)
class Axis:
    """The dates that all ribbons of a plan share, so that one can be held against the other."""

    today: date
    end: date

    @classmethod
    def over(cls, whens: Iterable[DayDistribution], today: date) -> Self:
        """Reach from today to past the last window."""
        ends = [window.end for when in whens if (window := when.window())]
        return cls(today, max([today, *ends]))

    def drawn(self, when: DayDistribution) -> Ribbon | None:
        """Draw a window on these dates, where it has an end."""
        window, median = when.window(), when.quantile(0.5)
        if window is None or median is None:
            return None
        span = self.today - timedelta(days=7), self.end + timedelta(days=14)
        return ribbon_from_window(window, self.today, median, span=span, stage="waiting")


@dataclass(frozen=True, slots=True)
class _Room:
    """What the plan rests on."""

    tanks: Sequence[Tank]
    free: dict[str, DayDistribution]
    adults: dict[int, int]
    standing: set[int]
    projects: Sequence[Project]
    queue: tuple[Wanted, ...]
    turn_round: int

    @property
    def aims(self) -> dict[int, Project]:
        """The waiting projects by number."""
        return {project.id: project for project in self.projects}

    @property
    def names(self) -> dict[str, str]:
        """The names of the tanks by the plan's own key."""
        return {str(tank.id): tank.name for tank in self.tanks}


def plan_page(session: Session, actor: Actor, what_if: WhatIf | None) -> PlanPage:
    """Read the plan, and try a change on it where one is asked for."""
    room = session.get_one(Fishroom, actor.fishroom_id)
    plan = plan_of(session, actor)
    tried = plan_of(session, actor, what_if) if what_if is not None and what_if.any else None
    return PlanPage(plan, tried, _moved(plan, tried), room.turn_round_days, room.money)


def _moved(plan: Plan, tried: Plan | None) -> tuple[Moved, ...]:
    if tried is None:
        return ()
    pairs = ((one, tried.project(one.id)) for one in plan.projects)
    return tuple(
        Moved(one.aim, one.words, other.words) for one, other in pairs if other and other.words != one.words
    )


Outlooks = tuple[Mapping[int, BirthOutlook], Mapping[int, BatchOutlook]]


def plan_of(
    session: Session, actor: Actor, what_if: WhatIf | None = None, known: Outlooks | None = None
) -> Plan:
    """Plan the queue on today's outlooks (or those known already), in a fixed number of statements."""
    tried = what_if or WhatIf()
    births, batches = known or (
        birth_outlooks(session, actor),
        batch_outlooks(session, actor, sale_length_mm=tried.sale_length_mm),
    )
    room = _room(session, actor, births, batches, tried)
    slots = schedule(room.queue, room.free, room.turn_round)
    waits = {clash.project: clash for clash in clashes(room.queue, room.free, slots)}
    by_id = room.aims
    axis = Axis.over([*room.free.values(), *(slot.start for slot in slots)], actor.today)
    return Plan(
        tuple(_tank(tank, room, axis) for tank in room.tanks),
        tuple(
            _project(by_id[int(slot.project)], place, slot, waits.get(slot.project), room, axis)
            for place, slot in enumerate(slots, start=1)
        ),
        tuple(
            (project.id, project.aim)
            for project in room.projects
            if str(project.id) not in {one.key for one in room.queue}
        ),
    )  # fmt: skip


def _room(
    session: Session,
    actor: Actor,
    births: Mapping[int, BirthOutlook],
    batches: Mapping[int, BatchOutlook],
    tried: WhatIf,
) -> _Room:
    tanks = rows(
        session, Tank, Tank.closed_on.is_(None), Tank.quarantine.is_(False), order=(Tank.position, Tank.id)
    )
    turn_round = session.get_one(Fishroom, actor.fishroom_id).turn_round_days
    adults, standing = _standing(session, actor)
    until: dict[int, list[DayDistribution]] = defaultdict(list)
    for one in running_projects(session, actor, births, batches):
        if one.tank_id is not None and one.until is not None:
            until[one.tank_id].append(one.until)
    free = {}
    for tank in tanks:
        ready = [
            settled(batches[batch_id].ready.when, actor.today)
            for batch_id in standing.get(tank.id, ())
            if batch_id in batches
        ]
        ready += [settled(when, actor.today) for when in until.get(tank.id, ())]
        free[str(tank.id)] = tank_free(ready, actor.today, turn_round)
    waiting = rows(
        session, Project, Project.state == ProjectState.WAITING, order=(Project.position, Project.id)
    )
    queue = _queue(session, actor, waiting, tanks, tried)
    return _Room(tanks, free, adults, set(adults) | set(standing), waiting, queue, turn_round)


def _standing(session: Session, actor: Actor) -> tuple[dict[int, int], dict[int, list[int]]]:
    """Return how many adults stand in each tank, and which batches."""
    statement = (
        select(Section.tank_id, Stay.fish_id, Stay.batch_id)
        .join(Section, Section.id == Stay.section_id)
        .where(Stay.fishroom_id == actor.fishroom_id, Stay.to_on.is_(None))
    )
    adults: dict[int, int] = defaultdict(int)
    batches: dict[int, list[int]] = defaultdict(list)
    for tank_id, fish_id, batch_id in session.execute(statement):
        if fish_id is not None:
            adults[tank_id] += 1
        elif batch_id is not None:
            batches[tank_id].append(batch_id)
    return adults, batches


def _queue(
    session: Session, actor: Actor, waiting: Sequence[Project], tanks: Sequence[Tank], tried: WhatIf
) -> tuple[Wanted, ...]:
    lines = lines_by_id(session, actor.fishroom_id)
    found = []
    for project in waiting:
        species = species_of(lines[project.line_id])
        if tried.sale_length_mm:
            species = replace(species, sale_length_mm=tried.sale_length_mm)
        mine = tried.project_id == project.id
        named = tried.tank_id if mine and tried.tank_id else project.tank_id
        suits = tuple(str(tank.id) for tank in tanks if _suits(project, tank, named))
        lasts = project_lasts(species, actor.set_point_c, project.lasts_from_days, project.lasts_to_days)
        begin = project.not_before
        if mine and tried.delay_days:
            begin = max(begin or actor.today, actor.today) + timedelta(days=tried.delay_days)
        if suits:
            found.append(Wanted(str(project.id), suits, lasts, begin))
    return tuple(found)


def _suits(project: Project, tank: Tank, named: int | None) -> bool:
    if named is not None:
        return tank.id == named
    return project.least_litres is None or tank.litres >= project.least_litres


def _tank(tank: Tank, room: _Room, axis: Axis) -> TankPlan:
    today = axis.today
    free, adults = room.free[str(tank.id)], room.adults.get(tank.id, 0)
    empty = tank.id not in room.standing
    window = free.window()
    sure = window is not None and window.end <= today
    words = "free now" if sure else f"free {window_words(window, today)}" if window else "may not come free"
    if adults:
        words += f"; {many(adults, 'adult')} would have to move"
    ribbon = None if sure or window is None else axis.drawn(free)
    return TankPlan(tank.id, tank.name, tank.litres, free, empty, adults, ribbon, words)


def _project(
    project: Project, place: int, slot: Slot, clash: Clash | None, room: _Room, axis: Axis
) -> ProjectPlan:
    today = axis.today
    start, end = slot.start_80, slot.end_80
    ready = slot.start.by(today) > 0.9
    return ProjectPlan(
        project.id,
        project.aim,
        place,
        int(slot.tank),
        room.names[slot.tank],
        slot,
        None if ready else axis.drawn(slot.start),
        "can start now" if ready else f"can start {window_words(start, today)}" if start else "may not start",
        f"would end {window_words(end, today)}" if end else "its end is open",
        _clash_words(clash, room, today) if clash else "",
        _choices(clash, slot, room) if clash else (),
    )


def _clash_words(clash: Clash, room: _Room, today: date) -> str:
    free = clash.free.quantile(0.5)
    when = month_words(free, today) if free and free > today else "now"
    other = room.aims[int(clash.behind)].aim
    return f"It wants {room.names[clash.tank]} {when}, and so does “{other}” before it."


def _choices(clash: Clash, slot: Slot, room: _Room) -> tuple[Choice, ...]:
    """Try the project in the tank that would let it start earliest, and before the one it waits for."""
    found = []
    place = next(i for i, one in enumerate(room.queue) if one.key == clash.project)
    least = room.aims[int(clash.project)].least_litres or 0.0
    others = tuple(str(tank.id) for tank in room.tanks if tank.litres >= least and str(tank.id) != slot.tank)
    if others:
        elsewhere = replace(room.queue[place], tanks=others)
        tried = schedule(
            [*room.queue[:place], elsewhere, *room.queue[place + 1 :]], room.free, room.turn_round
        )[place]
        if tried.starts and (slot.starts is None or tried.starts < slot.starts):
            found.append(Choice(f"in {room.names[tried.tank]}", tried.starts))
    before = next(i for i, one in enumerate(room.queue) if one.key == clash.behind)
    order = [one for one in room.queue if one.key != clash.project]
    order.insert(before, room.queue[place])
    swapped = schedule(order, room.free, room.turn_round)[before]
    if swapped.starts and (slot.starts is None or swapped.starts < slot.starts):
        found.append(Choice(f"before “{room.aims[int(clash.behind)].aim}”", swapped.starts))
    return tuple(found)
