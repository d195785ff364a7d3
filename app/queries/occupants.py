"""Who stands where now."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.species import SPECIES
from app.queries.books import books
from app.store.actor import Actor
from app.store.batches import Batch
from app.store.fish import Fish
from app.store.lines import Line
from app.store.stays import Stay


@dataclass(frozen=True, slots=True)
class Occupant:
    """One fish, or one batch with the number alive, and since when it stands there."""

    kind: str
    id: int
    label: str
    line_id: int
    line: str
    species: str
    species_name: str
    sex: str
    number: int
    born_on: date | None
    since: date


def occupants_by_section(session: Session, actor: Actor) -> dict[int, list[Occupant]]:
    """Return the occupants of every section, fish before batches."""
    found: dict[int, list[Occupant]] = defaultdict(list)
    for section_id, occupant in [*_fish(session, actor), *_batches(session, actor)]:
        found[section_id].append(occupant)
    return found


def _fish(session: Session, actor: Actor) -> list[tuple[int, Occupant]]:
    statement = (
        select(Stay.section_id, Stay.from_on, Fish, Line)
        .join(Fish, Fish.id == Stay.fish_id)
        .join(Line, Line.id == Fish.line_id)
        .where(Stay.fishroom_id == actor.fishroom_id, Stay.to_on.is_(None))
        .order_by(Fish.sex, Fish.code)
    )
    return [
        (
            section_id,
            Occupant(
                "fish", fish.id, label_of(fish), line.id, line.name, line.species,
                SPECIES[line.species].common_name, fish.sex.value, 1, fish.born_on, since,
            ),
        )
        for section_id, since, fish, line in session.execute(statement)
    ]  # fmt: skip


def _batches(session: Session, actor: Actor) -> list[tuple[int, Occupant]]:
    statement = (
        select(Stay.section_id, Stay.from_on, Batch, Line)
        .join(Batch, Batch.id == Stay.batch_id)
        .join(Line, Line.id == Batch.line_id)
        .where(Stay.fishroom_id == actor.fishroom_id, Stay.to_on.is_(None))
        .order_by(Batch.code)
    )
    found = session.execute(statement).all()
    ledgers = books(session, actor.fishroom_id, [batch.id for _, _, batch, _ in found])
    return [
        (
            section_id,
            Occupant(
                "batch", batch.id, batch.code, line.id, line.name, line.species,
                SPECIES[line.species].common_name, batch.sex.value, ledgers[batch.id].alive, batch.born_from,
                since,
            ),
        )
        for section_id, since, batch, line in found
    ]  # fmt: skip


def label_of(fish: Fish) -> str:
    """Return a fish's code, with its name where it has one."""
    return f"{fish.code} {fish.name}".strip()
