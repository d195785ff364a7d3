"""Lines: adding the keeper's own strains, and what the keeper knows better than the table."""

from dataclasses import dataclass

from sqlalchemy import func
from sqlalchemy.orm import Session

from app.core.species import SPECIES, Overrides, overridden
from app.services.journal import Entry
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.batches import Batch
from app.store.broods import Brood
from app.store.fish import Fish
from app.store.lines import Line
from app.store.session import find, rows

LONGEST_NAME = 60


@dataclass(frozen=True, slots=True)
class NewLine:
    """What a line is: its name, species, and the keeper's own numbers (none keeps the table's)."""

    name: str
    species: str
    note: str = ""
    interval_days: float | None = None
    sale_length_mm: float | None = None
    sexable_age_days: float | None = None


def add_line(session: Session, actor: Actor, told: NewLine) -> Line:
    """Begin a line."""
    actor.must_manage()
    check_line(session, told)
    entry = Entry(session, actor, "add line")
    line = begin_line(entry, told)
    entry.tell(f"line:{line.id}", f"Line {line.name} begun")
    return line


def begin_line(entry: Entry, told: NewLine) -> Line:
    """Put a line that was checked into the books, within an act."""
    return entry.add(
        Line(
            name=told.name.strip(),
            species=told.species,
            note=told.note.strip(),
            interval_days=told.interval_days,
            sale_length_mm=told.sale_length_mm,
            sexable_age_days=told.sexable_age_days,
        )
    )


def edit_line(session: Session, actor: Actor, line_id: int, told: NewLine) -> Line:
    """Change a line's name, note or numbers; its species only while nothing hangs on it."""
    actor.must_manage()
    line = find(session, Line, line_id)
    check_line(session, told, but=line.id)
    if told.species != line.species and _in_use(session, line):
        raise Refused(
            f"Fish or broods are logged as {line.name}, {SPECIES[line.species].common_name}. "
            "Begin another line for another species.",
            "species",
        )
    entry = Entry(session, actor, "edit line")
    entry.change(
        line,
        name=told.name.strip(),
        species=told.species,
        note=told.note.strip(),
        interval_days=told.interval_days,
        sale_length_mm=told.sale_length_mm,
        sexable_age_days=told.sexable_age_days,
    )
    entry.tell(f"line:{line.id}", f"Line {line.name} changed")
    return line


def _in_use(session: Session, line: Line) -> bool:
    return any(rows(session, model, model.line_id == line.id) for model in (Fish, Batch, Brood))


def check_line(
    session: Session,
    told: NewLine,
    *,
    but: int | None = None,
    name_field: str = "name",
    species_field: str = "species",
) -> None:
    """Refuse a line that cannot be: no name, a name twice, no such species, numbers far off."""
    name = told.name.strip()
    if not name:
        raise Refused("Give the line a name, as you call it.", name_field)
    if len(name) > LONGEST_NAME:
        raise Refused(f"A name of {len(name)} letters; give at most {LONGEST_NAME}.", name_field)
    if told.species not in SPECIES:
        raise Refused("Choose the species of the line.", species_field)
    same = rows(session, Line, func.lower(Line.name) == name.lower())
    if any(line.id != but for line in same):
        raise Refused(f"There is a line {name} already. Choose it, or give another name.", name_field)
    overridden(
        SPECIES[told.species],
        Overrides(told.interval_days, told.sale_length_mm, told.sexable_age_days),
    )
