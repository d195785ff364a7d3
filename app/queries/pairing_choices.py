"""Who is free to be paired, and where to."""

from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.crossing import mature
from app.core.species import SPECIES
from app.queries.occupants import label_of
from app.queries.sections import Place, open_places, places
from app.store.actor import Actor
from app.store.fish import Fish, Sex
from app.store.lines import Line
from app.store.pairings import Pairing, PairingMember
from app.store.projects import Project, ProjectState
from app.store.session import rows
from app.store.stays import Stay


@dataclass(frozen=True, slots=True)
class Choice:
    """One fish that can be chosen, and where it stands."""

    id: int
    words: str
    section_id: int | None


@dataclass(frozen=True, slots=True)
class Choices:
    """Everything a new pairing is chosen from."""

    places: tuple[Place, ...]
    dams: tuple[Choice, ...]
    sires: tuple[Choice, ...]
    projects: tuple[tuple[int, str], ...]
    lines: tuple[tuple[int, str], ...]
    line_id: int | None


def choices(session: Session, actor: Actor, line_id: int | None = None) -> Choices:
    """Return the grown fish that are free to be paired, and where to."""
    statement = (
        select(Fish, Line, Stay.section_id)
        .join(Line, Line.id == Fish.line_id)
        .outerjoin(Stay, (Stay.fish_id == Fish.id) & Stay.to_on.is_(None))
        .where(Fish.fishroom_id == actor.fishroom_id, Fish.left_on.is_(None))
        .order_by(Line.name, Fish.code)
    )
    where = places(session, actor)
    busy = set(
        session.scalars(
            select(PairingMember.fish_id)
            .join(Pairing, Pairing.id == PairingMember.pairing_id)
            .where(PairingMember.fishroom_id == actor.fishroom_id, Pairing.ended_on.is_(None))
        )
    )
    grown = [
        (fish, line, section_id)
        for fish, line, section_id in session.execute(statement)
        if mature(SPECIES[line.species], fish.born_on, actor.today)
    ]
    chosen = [row for row in grown if line_id is None or row[1].id == line_id]
    return Choices(
        tuple(open_places(session, actor)),
        tuple(_choice(row, where) for row in chosen if row[0].sex is Sex.FEMALE and row[0].id not in busy),
        tuple(_choice(row, where) for row in chosen if row[0].sex is Sex.MALE and row[0].id not in busy),
        tuple(
            (project.id, project.aim)
            for project in rows(session, Project, Project.state != ProjectState.CLOSED)
        ),
        tuple(dict.fromkeys((line.id, line.name) for _, line, _ in grown)),
        line_id,
    )


def _choice(row: tuple[Fish, Line, int | None], where: dict[int, Place]) -> Choice:
    fish, _line, section_id = row
    stands = f" · {where[section_id].words}" if section_id is not None else ""
    return Choice(fish.id, f"{label_of(fish)}{stands}", section_id)
