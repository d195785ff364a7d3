"""Where fish can be put: every open section, by the words people use for it."""

from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.store.actor import Actor
from app.store.tanks import Section, Tank


@dataclass(frozen=True, slots=True)
class Place:
    """One section of a tank."""

    section_id: int
    tank_id: int
    words: str
    litres: float
    open: bool


def places(session: Session, actor: Actor) -> dict[int, Place]:
    """Return every section in walking order, by number; closed ones too, for looking back."""
    statement = (
        select(Section, Tank)
        .join(Tank, Tank.id == Section.tank_id)
        .where(Section.fishroom_id == actor.fishroom_id)
        .order_by(Tank.position, Tank.id, Section.position, Section.id)
    )
    return {
        section.id: Place(
            section.id,
            tank.id,
            tank.name if section.name == "main" else f"{tank.name} {section.name}",
            tank.litres,
            section.closed_on is None and tank.closed_on is None,
        )
        for section, tank in session.execute(statement)
    }


def open_places(session: Session, actor: Actor) -> list[Place]:
    """Return the sections fish can be put into, in walking order."""
    return [place for place in places(session, actor).values() if place.open]
