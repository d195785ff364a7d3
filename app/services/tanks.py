"""Setting up tanks and their sections."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.core.quantities import show_length
from app.core.wording import day_words
from app.services.journal import Entry
from app.services.order import renumber, swapped
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.session import find, rows
from app.store.stays import Stay
from app.store.tanks import Section, SectionKind, Tank

LARGEST_LITRES = 20_000.0
WIDEST_GAP_MM = 50.0
LONGEST_NAME = 40
MOST_SECTIONS = 12
MOST_FEED_G = 500.0


@dataclass(frozen=True, slots=True)
class Life:
    """What lives in a tank beside the fish that are bred, and how much food goes in."""

    planted: bool = False
    invertebrates: bool = False
    soft_water_mates: bool = False
    feed_g_per_day: float | None = None


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
    life: Life = Life(),
) -> Tank:
    """Put up a tank at the end of the walk, with one section or several behind dividers."""
    actor.must_manage()
    _check(session, name, litres)
    _check_feed(life)
    if not 1 <= sections <= MOST_SECTIONS:
        raise Refused(f"A tank has 1 to {MOST_SECTIONS} sections.", "sections")
    entry = Entry(session, actor, "add tank")
    tank = entry.add(
        Tank(
            name=name.strip(),
            litres=litres,
            position=_last_position(session, actor) + 1,
            set_point_c=set_point_c,
            quarantine=quarantine,
            note=note.strip(),
            **asdict(life),
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
    life: Life | None = None,
) -> Tank:
    """Change what a tank is called, holds or is set to; ``position`` is its place among the open ones."""
    actor.must_manage()
    tank = find(session, Tank, tank_id)
    _check(session, name, litres, but=tank.id)
    _check_feed(life or Life())
    entry = Entry(session, actor, "edit tank")
    entry.change(
        tank,
        name=name.strip(),
        litres=litres,
        set_point_c=set_point_c,
        quarantine=quarantine,
        note=note.strip(),
        **(asdict(life) if life is not None else {}),
    )
    walk = _walk(session)
    if tank in walk and walk.index(tank) != position - 1:
        walk.remove(tank)
        walk.insert(max(0, position - 1), tank)
        renumber(entry, walk)
    entry.tell(f"tank:{tank.id}", f"Tank {tank.name} changed")
    return tank


def reorder(session: Session, actor: Actor, tank_id: int, *, up: bool) -> Tank:
    """Let a tank and its neighbour change places in the walk."""
    actor.must_manage()
    tank = find(session, Tank, tank_id)
    walk = _walk(session)
    if tank not in walk:
        raise Refused(f"{tank.name} was taken down; it has no place in the walk.", "tank")
    moved = swapped(walk, tank, up=up)
    if moved is None:
        raise Refused(f"{tank.name} is the {'first' if up else 'last'} of the walk already.", "tank")
    entry = Entry(session, actor, "reorder tanks")
    renumber(entry, moved)
    place = moved.index(tank)
    before = f"after {moved[place - 1].name}" if place else "first"
    entry.tell("tank:order", f"Tank {tank.name} now comes {before} in the walk")
    return tank


def _walk(session: Session) -> list[Tank]:
    """Return the open tanks in walking order."""
    return list(rows(session, Tank, Tank.closed_on.is_(None), order=(Tank.position, Tank.id)))


def add_section(
    session: Session, actor: Actor, tank_id: int, *, name: str, kind: SectionKind, gap_mm: float | None = None
) -> Section:
    """Add a divider or a fry box to a tank; one of that name that was taken out is put back."""
    actor.must_log()
    tank = find(session, Tank, tank_id)
    sections = rows(session, Section, Section.tank_id == tank.id)
    old = next((each for each in sections if each.name.lower() == name.strip().lower()), None)
    _check_section(tank, name, sections, old)
    _check_gap(gap_mm)
    entry = Entry(session, actor, "add section")
    if old is not None:
        section = old
        entry.change(section, closed_on=None, kind=kind, gap_mm=gap_mm)
    else:
        section = entry.add(
            Section(tank_id=tank.id, name=name.strip(), kind=kind, position=len(sections), gap_mm=gap_mm)
        )
    entry.tell(f"tank:{tank.id}", f"Section {section.name} added to {tank.name}")
    return section


def _check_section(tank: Tank, name: str, sections: Sequence[Section], old: Section | None) -> None:
    if tank.closed_on is not None:
        raise Refused(f"{tank.name} was taken down on {day_words(tank.closed_on)}.", "name")
    if not name.strip():
        raise Refused("Give the section a name, like “box” or “left”.", "name")
    if len(name.strip()) > LONGEST_NAME:
        raise Refused(f"A section's name has at most {LONGEST_NAME} letters.", "name")
    if old is not None and old.closed_on is None:
        raise Refused(f"{tank.name} has a section {old.name} already. Choose another name.", "name")
    if sum(each.closed_on is None for each in sections) >= MOST_SECTIONS:
        raise Refused(f"A tank has 1 to {MOST_SECTIONS} sections. Take one out first.", "name")


def _check_gap(gap_mm: float | None, field: str = "gap_mm") -> None:
    if gap_mm is not None and not 0 < gap_mm <= WIDEST_GAP_MM:
        raise Refused(f"A gap of {gap_mm:g} mm parts nothing; give up to {WIDEST_GAP_MM:g} mm.", field)


def set_gap(
    session: Session, actor: Actor, tank_id: int, section_id: int | None, gap_mm: float | None
) -> Section:
    """Correct the widest gap of a divider or a fry box; none where it is not known."""
    actor.must_log()
    tank = find(session, Tank, tank_id)
    if section_id is None:
        raise Refused("Choose the section.", "of_section")
    section = find(session, Section, section_id)
    if section.tank_id != tank.id:
        raise Refused(f"That section is not in {tank.name}.", "of_section")
    _check_gap(gap_mm, "new_gap")
    entry = Entry(session, actor, "set gap")
    entry.change(section, gap_mm=gap_mm)
    said = f"gaps up to {show_length(gap_mm, actor.units)}" if gap_mm is not None else "gap not known"
    entry.tell(f"tank:{tank.id}", f"{section.name} of {tank.name}: {said}")
    return section


def close_section(session: Session, actor: Actor, section_id: int) -> Section:
    """Take a divider or a box out, once nobody stands there."""
    actor.must_log()
    section = find(session, Section, section_id)
    tank = find(session, Tank, section.tank_id)
    if section.closed_on is not None:
        raise Refused(f"{section.name} was taken out of {tank.name} before.", "section")
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
    if len(name.strip()) > LONGEST_NAME:
        raise Refused(f"A tank's name has at most {LONGEST_NAME} letters. Shorten it.", "name")
    if not 0 < litres <= LARGEST_LITRES:
        raise Refused(f"A tank holds more than 0 and up to {LARGEST_LITRES:,.0f} litres.", "litres")
    same = rows(session, Tank, func.lower(Tank.name) == name.strip().lower())
    if any(tank.id != but for tank in same):
        raise Refused(f"There is a tank {name.strip()} already. Choose another name.", "name")


def _check_feed(life: Life) -> None:
    grams = life.feed_g_per_day
    if grams is not None and not 0 <= grams <= MOST_FEED_G:
        raise Refused(
            f"{grams:g} g of food a day cannot be; give 0 to {MOST_FEED_G:g} g, dry.", "feed_g_per_day"
        )


def _last_position(session: Session, actor: Actor) -> int:
    statement = select(func.max(Tank.position)).where(Tank.fishroom_id == actor.fishroom_id)
    return session.scalar(statement) or 0
