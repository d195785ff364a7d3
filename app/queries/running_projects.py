"""The running projects: since when, which batches came of them, and when each is likely through."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.day_distribution import DayDistribution, latest
from app.core.durations import raising
from app.queries.evidence.lines import lines_by_id, species_of
from app.queries.outlook import BatchOutlook, BirthOutlook
from app.queries.project_young import young_of
from app.store.actor import Actor
from app.store.pairings import Pairing, PairingMember
from app.store.projects import Project, ProjectState
from app.store.session import rows


@dataclass(frozen=True, slots=True)
class Running:
    """A running project: its tank, since when, the batches that came of it, and when it is likely through."""

    id: int
    aim: str
    tank_id: int | None
    since: date | None
    batches: tuple[int, ...]
    until: DayDistribution | None


def running_projects(
    session: Session, actor: Actor, births: Mapping[int, BirthOutlook], batches: Mapping[int, BatchOutlook]
) -> tuple[Running, ...]:
    """Return the running projects, and when each is through where that can be told.

    A project with young is through when the last of them are ready; one that waits for its first brood,
    when the first dam has dropped and her fry have been raised.
    """
    running = rows(session, Project, Project.state == ProjectState.RUNNING, order=(Project.position,))
    if not running:
        return ()
    ids = [project.id for project in running]
    young, dams = young_of(session, actor, ids), _dams(session, actor, ids, births)
    lines = lines_by_id(session, actor.fishroom_id)

    def until(project: Project) -> DayDistribution | None:
        here = [batches[number] for number in young.get(project.id, ()) if number in batches]
        alive = [one.ready.when for one in here if one.ledger.alive]
        if alive:
            return latest(alive)
        if project.id not in dams:
            return None
        first = min(dams[project.id], key=lambda one: one.forecast.median or date.max)
        return _drop(first).plus(raising(species_of(lines[project.line_id]), actor.set_point_c))

    return tuple(
        Running(one.id, one.aim, one.tank_id, one.started_on, tuple(young.get(one.id, ())), until(one))
        for one in running
    )


def _dams(
    session: Session, actor: Actor, project_ids: Sequence[int], births: Mapping[int, BirthOutlook]
) -> dict[int, list[BirthOutlook]]:
    statement = (
        select(Pairing.project_id, PairingMember.fish_id)
        .join(PairingMember, PairingMember.pairing_id == Pairing.id)
        .where(
            Pairing.fishroom_id == actor.fishroom_id,
            Pairing.project_id.in_(project_ids),
            Pairing.ended_on.is_(None),
        )
    )
    found: dict[int, list[BirthOutlook]] = defaultdict(list)
    for project_id, fish_id in session.execute(statement):
        if fish_id in births and births[fish_id].forecast.cdf:
            found[project_id or 0].append(births[fish_id])
    return found


def _drop(outlook: BirthOutlook) -> DayDistribution:
    steps = outlook.forecast.cdf
    chances = [0.0, *(p for _, p in steps)]
    mass: list[float] = [0.0] * ((steps[-1][0] - steps[0][0]).days + 1)
    for (day, p), before in zip(steps, chances, strict=False):
        mass[(day - steps[0][0]).days] = p - before
    return DayDistribution(steps[0][0], tuple(mass))
