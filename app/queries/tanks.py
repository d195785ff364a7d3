"""The tanks in walking order, with their sections and who stands there."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy.orm import Session

from app.core.wording import listed, many
from app.queries.occupants import Occupant, occupants_by_section
from app.store.actor import Actor
from app.store.session import find, rows
from app.store.tanks import Section, Tank

GROUPS = (("female", "dam"), ("male", "sire"), ("unknown", "unsexed adult"))


@dataclass(frozen=True, slots=True)
class SectionShown:
    """One section and who stands in it."""

    id: int
    name: str
    kind: str
    occupants: tuple[Occupant, ...]
    gap_mm: float | None = None


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
    closed_on: date | None = None

    @property
    def empty(self) -> bool:
        """Whether nobody stands there."""
        return not any(section.occupants for section in self.sections)

    @property
    def occupants(self) -> tuple[Occupant, ...]:
        """Who stands in any of its sections."""
        return tuple(one for section in self.sections for one in section.occupants)


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
            SectionShown(s.id, s.name, s.kind.value, tuple(standing.get(s.id, ())), s.gap_mm)
            for s in sections
            if s.tank_id == tank.id
        ),
        tank.closed_on,
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


@dataclass(frozen=True, slots=True)
class TankToEdit:
    """What the form of a tank begins with; ``set_point_c`` only where the tank has its own."""

    id: int
    name: str
    litres: float
    set_point_c: float | None
    quarantine: bool
    note: str
    position: int
    of: int
    planted: bool
    invertebrates: bool
    soft_water_mates: bool
    feed_g_per_day: float | None


def tank_to_edit(session: Session, tank_id: int) -> TankToEdit:
    """Read one tank as it was set up; its position is its place among the open ones."""
    tank = find(session, Tank, tank_id)
    walk = rows(session, Tank, Tank.closed_on.is_(None), order=(Tank.position, Tank.id))
    place = walk.index(tank) + 1 if tank in walk else len(walk)
    return TankToEdit(
        tank.id,
        tank.name,
        tank.litres,
        tank.set_point_c,
        tank.quarantine,
        tank.note,
        place,
        len(walk),
        tank.planted,
        tank.invertebrates,
        tank.soft_water_mates,
        tank.feed_g_per_day,
    )


def standing_words(occupants: Sequence[Occupant]) -> str:
    """Say who stands there: ``2 dams, 1 sire and 24 young``, or nothing for nobody."""
    parts = [
        many(number, word)
        for sex, word in GROUPS
        if (number := sum(1 for one in occupants if one.kind == "fish" and one.sex == sex))
    ]
    batches = [one for one in occupants if one.kind == "batch"]
    if batches:
        young = sum(one.number for one in batches)
        parts.append(many(young, "young", "young") + (f" in {len(batches)} batches" if batches[1:] else ""))
    return listed(parts)
