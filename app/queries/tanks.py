"""The tank pages: all tanks in walking order, and one tank with who stands there."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy.orm import Session

from app.queries.occupants import Occupant, occupants_by_section
from app.store.actor import Actor
from app.store.session import find, rows
from app.store.tanks import Section, Tank


@dataclass(frozen=True, slots=True)
class SectionShown:
    """One section and who stands in it."""

    id: int
    name: str
    kind: str
    occupants: tuple[Occupant, ...]


@dataclass(frozen=True, slots=True)
class TankShown:
    """One tank and its sections."""

    id: int
    name: str
    litres: float
    set_point_c: float
    quarantine: bool
    closed: bool
    note: str
    position: int
    sections: tuple[SectionShown, ...]

    @property
    def empty(self) -> bool:
        """Whether nobody stands there."""
        return not any(section.occupants for section in self.sections)


@dataclass(frozen=True, slots=True)
class TanksPage:
    """Every open tank, in walking order."""

    tanks: tuple[TankShown, ...]
    closed: tuple[TankShown, ...]


def tanks_page(session: Session, actor: Actor) -> TanksPage:
    """Read all tanks and who stands in them."""
    sections = rows(session, Section, Section.closed_on.is_(None), order=(Section.position, Section.id))
    standing = occupants_by_section(session, actor)
    shown = [
        _shown(tank, sections, standing, actor)
        for tank in rows(session, Tank, order=(Tank.position, Tank.id))
    ]
    return TanksPage(
        tuple(tank for tank in shown if not tank.closed), tuple(tank for tank in shown if tank.closed)
    )


def _shown(
    tank: Tank,
    sections: Sequence[Section],
    standing: dict[int, list[Occupant]],
    actor: Actor,
) -> TankShown:
    return TankShown(
        tank.id,
        tank.name,
        tank.litres,
        tank.set_point_c if tank.set_point_c is not None else actor.set_point_c,
        tank.quarantine,
        tank.closed_on is not None,
        tank.note,
        tank.position,
        tuple(
            SectionShown(s.id, s.name, s.kind.value, tuple(standing.get(s.id, ())))
            for s in sections
            if s.tank_id == tank.id
        ),
    )


def tank_shown(session: Session, actor: Actor, tank_id: int) -> TankShown:
    """Read one tank."""
    tank = find(session, Tank, tank_id)
    sections = rows(
        session,
        Section,
        Section.tank_id == tank.id,
        Section.closed_on.is_(None),
        order=(Section.position, Section.id),
    )
    return _shown(tank, sections, occupants_by_section(session, actor), actor)
