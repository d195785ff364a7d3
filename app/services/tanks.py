"""Setting up tanks and their sections."""

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.core.wording import day_words
from app.services.journal import Entry
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.session import find, rows
from app.store.stays import Stay
from app.store.tanks import Section, SectionKind, Tank

LARGEST_LITRES = 20_000.0


def add_tank(
    session: Session,
    actor: Actor,
    *,
    name: str,
    litres: float,
    sections: int = 1,
    set_point_c: float | None = None,
    quarantine: bool = False,
    note: str = "",
) -> Tank:
    """Put up a tank at the end of the walk, with one section or several behind dividers."""
    actor.must_manage()
    _check(session, name, litres)
    if not 1 <= sections <= 12:
        raise Refused("A tank has 1 to 12 sections.", "sections")
    entry = Entry(session, actor, "add tank")
    tank = entry.add(
        Tank(
            name=name.strip(),
            litres=litres,
            position=_last_position(session, actor) + 1,
            set_point_c=set_point_c,
            quarantine=quarantine,
            note=note.strip(),
        )
    )
    for number in range(sections):
        entry.add(_section(tank, number, sections))
    entry.tell(f"tank:{tank.id}", f"Tank {tank.name} put up")
    return tank


def _section(tank: Tank, number: int, of: int) -> Section:
    if of == 1:
        return Section(tank_id=tank.id, name="main", kind=SectionKind.WHOLE, position=0)
    return Section(tank_id=tank.id, name=chr(ord("A") + number), kind=SectionKind.DIVIDED, position=number)


def edit_tank(
    session: Session,
    actor: Actor,
    tank_id: int,
    *,
    name: str,
    litres: float,
    position: int,
    set_point_c: float | None,
    quarantine: bool,
    note: str,
) -> Tank:
    """Change what a tank is called, holds or is set to."""
    actor.must_manage()
    tank = find(session, Tank, tank_id)
    _check(session, name, litres, but=tank.id)
    entry = Entry(session, actor, "edit tank")
    entry.change(
        tank,
        name=name.strip(),
        litres=litres,
        position=position,
        set_point_c=set_point_c,
        quarantine=quarantine,
        note=note.strip(),
    )
    entry.tell(f"tank:{tank.id}", f"Tank {tank.name} changed")
    return tank


def add_section(
    session: Session, actor: Actor, tank_id: int, *, name: str, kind: SectionKind, gap_mm: float | None = None
) -> Section:
    """Add a divider or a fry box to a tank."""
    actor.must_log()
    tank = find(session, Tank, tank_id)
    taken = {section.name.lower() for section in rows(session, Section, Section.tank_id == tank.id)}
    if not name.strip():
        raise Refused("Give the section a name, like “box” or “left”.", "name")
    if name.strip().lower() in taken:
        raise Refused(f"{tank.name} has a section {name.strip()} already. Choose another name.", "name")
    entry = Entry(session, actor, "add section")
    section = entry.add(
        Section(tank_id=tank.id, name=name.strip()[:40], kind=kind, position=len(taken), gap_mm=gap_mm)
    )
    entry.tell(f"tank:{tank.id}", f"Section {section.name} added to {tank.name}")
    return section


def close_section(session: Session, actor: Actor, section_id: int) -> Section:
    """Take a divider or a box out, once nobody stands there."""
    actor.must_log()
    section = find(session, Section, section_id)
    tank = find(session, Tank, section.tank_id)
    open_ones = rows(session, Section, Section.tank_id == tank.id, Section.closed_on.is_(None))
    if len(open_ones) == 1:
        raise Refused(
            f"{section.name} is the last section of {tank.name}. Close the tank instead.", "section"
        )
    _must_be_empty(session, [section.id], f"{tank.name} {section.name}")
    entry = Entry(session, actor, "close section")
    entry.change(section, closed_on=actor.today)
    entry.tell(f"tank:{tank.id}", f"Section {section.name} taken out of {tank.name}")
    return section


def close_tank(session: Session, actor: Actor, tank_id: int) -> Tank:
    """Take a tank down, once it is empty."""
    actor.must_manage()
    tank = find(session, Tank, tank_id)
    if tank.closed_on is not None:
        raise Refused(f"{tank.name} was taken down on {day_words(tank.closed_on)}.", "tank")
    sections = rows(session, Section, Section.tank_id == tank.id, Section.closed_on.is_(None))
    _must_be_empty(session, [section.id for section in sections], tank.name)
    entry = Entry(session, actor, "close tank")
    for section in sections:
        entry.change(section, closed_on=actor.today)
    entry.change(tank, closed_on=actor.today)
    entry.tell(f"tank:{tank.id}", f"Tank {tank.name} taken down")
    return tank


def _must_be_empty(session: Session, sections: list[int], name: str) -> None:
    if rows(session, Stay, Stay.section_id.in_(sections), Stay.to_on.is_(None)):
        raise Refused(f"Fish still stand in {name}. Move them first.", "section")


def _check(session: Session, name: str, litres: float, but: int | None = None) -> None:
    if not name.strip():
        raise Refused("Give the tank a name or number, as written on it.", "name")
    if not 0 < litres <= LARGEST_LITRES:
        raise Refused(f"A tank holds more than 0 and up to {LARGEST_LITRES:,.0f} litres.", "litres")
    same = rows(session, Tank, func.lower(Tank.name) == name.strip().lower())
    if any(tank.id != but for tank in same):
        raise Refused(f"There is a tank {name.strip()} already. Choose another name.", "name")


def _last_position(session: Session, actor: Actor) -> int:
    statement = select(func.max(Tank.position)).where(Tank.fishroom_id == actor.fishroom_id)
    return session.scalar(statement) or 0
