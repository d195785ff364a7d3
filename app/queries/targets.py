"""What the water of tanks and lines should be: the usual of the species, and the keeper's own."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sqlalchemy.orm import Session

from app.core.quantities import Units
from app.core.species import SPECIES
from app.core.water.nitrate import CEILING_MG_PER_L
from app.core.water.targets import Range, usual
from app.queries.quantities import KEPT, show_reading
from app.store.actor import Actor
from app.store.lines import Line
from app.store.readings import Quantity
from app.store.session import rows
from app.store.tanks import Tank
from app.store.waters import WaterTarget

OWN = "yours"


@dataclass(frozen=True, slots=True)
class Wanted:
    """A range, and for whom it is."""

    range: Range
    whose: str


@dataclass(frozen=True, slots=True)
class TargetShown:
    """One row of a table of targets; ``id`` where it is the keeper's own."""

    name: str
    words: str
    source: str
    id: int | None = None


@dataclass(frozen=True, slots=True)
class TargetsOf:
    """The targets of one line or tank."""

    key: str
    title: str
    sub: str
    rows: tuple[TargetShown, ...]


@dataclass(frozen=True, slots=True)
class TargetsPage:
    """What is wanted of the water, line by line, and of tanks that go their own way."""

    lines: tuple[TargetsOf, ...]
    tanks: tuple[TargetsOf, ...]
    choices: tuple[tuple[str, str], ...]


def range_words(quantity: Quantity, wanted: Range, units: Units = Units.METRIC) -> str:
    """Say a range: ``7 to 8``, ``at most 0.2 mg/L``, ``at least 3 °dH``."""
    low = show_reading(quantity, wanted.low, units) if wanted.low is not None else ""
    high = show_reading(quantity, wanted.high, units) if wanted.high is not None else ""
    if low and high:
        unit = high.rpartition(" ")[2]
        return f"{low.removesuffix(unit).strip() if low.endswith(unit) else low} to {high}"
    return f"at least {low}" if low else f"at most {high}"


def _own(session: Session) -> tuple[dict[int, list[WaterTarget]], dict[int, list[WaterTarget]]]:
    lines: dict[int, list[WaterTarget]] = defaultdict(list)
    tanks: dict[int, list[WaterTarget]] = defaultdict(list)
    for row in rows(session, WaterTarget, order=WaterTarget.id):
        if row.line_id is not None:
            lines[row.line_id].append(row)
        elif row.tank_id is not None:
            tanks[row.tank_id].append(row)
    return lines, tanks


def _range(row: WaterTarget) -> Range:
    return Range(row.low, row.high, OWN, "")


def targets_of(session: Session, kept: Mapping[int, Sequence[Line]]) -> dict[int, dict[str, Wanted]]:
    """Return what is wanted in each tank, by quantity: its own, else where all its lines agree.

    Where two lines have nothing in common, the first one's range holds.
    """
    of_lines, of_tanks = _own(session)
    found: dict[int, dict[str, Wanted]] = defaultdict(dict)
    for tank_id, lines in kept.items():
        for line in lines:
            whose = f" for {line.name}" if len(lines) > 1 else ""
            own = {row.quantity.value: _range(row) for row in of_lines.get(line.id, ())}
            for name, wanted in {**usual(line.species), **own}.items():
                found[tank_id][name] = _both(found[tank_id].get(name), Wanted(wanted, whose))
    for tank_id, own_rows in of_tanks.items():
        for row in own_rows:
            found[tank_id][row.quantity.value] = Wanted(_range(row), "")
    return found


def _both(first: Wanted | None, second: Wanted) -> Wanted:
    """Return where both hold; the first where they have nothing in common."""
    if first is None:
        return second
    one, other = first.range, second.range
    low = max((end for end in (one.low, other.low) if end is not None), default=None)
    high = min((end for end in (one.high, other.high) if end is not None), default=None)
    if (low, high) == (one.low, one.high) or (low is not None and high is not None and low > high):
        return first
    if (low, high) == (other.low, other.high):
        return second
    return Wanted(Range(low, high), " for all who stand there")


def targets_page(session: Session, actor: Actor) -> TargetsPage:
    """Read all targets in a fixed number of statements."""
    of_lines, of_tanks = _own(session)
    lines = rows(session, Line, order=(Line.name, Line.id))
    tanks = rows(session, Tank, Tank.closed_on.is_(None), order=(Tank.position, Tank.id))
    choices = [
        *((f"line:{line.id}", f"Line {line.name}") for line in lines),
        *((f"tank:{tank.id}", f"Tank {tank.name}") for tank in tanks),
    ]
    return TargetsPage(
        tuple(_line(actor, line, of_lines.get(line.id, [])) for line in lines),
        tuple(
            TargetsOf(f"tank:{tank.id}", f"Tank {tank.name}", "", _rows(actor, {}, of_tanks[tank.id]))
            for tank in tanks
            if of_tanks.get(tank.id)
        ),
        tuple(choices),
    )


def _line(actor: Actor, line: Line, own: Sequence[WaterTarget]) -> TargetsOf:
    nitrate = {Quantity.NITRATE.value: Range(None, CEILING_MG_PER_L, "common practice, no source", "E")}
    usuals = {**usual(line.species), **nitrate}
    kind = SPECIES[line.species].common_name
    return TargetsOf(f"line:{line.id}", line.name, kind, _rows(actor, usuals, own))


def _rows(actor: Actor, usuals: Mapping[str, Range], own: Sequence[WaterTarget]) -> tuple[TargetShown, ...]:
    mine = {row.quantity: row for row in own}
    found = []
    for quantity in Quantity:
        row = mine.get(quantity)
        wanted = _range(row) if row is not None else usuals.get(quantity.value)
        if wanted is None:
            continue
        words = range_words(quantity, wanted, actor.units)
        source = OWN if row is not None else f"{wanted.source} ({wanted.grade})"
        found.append(TargetShown(KEPT[quantity].title, words, source, row.id if row is not None else None))
    return tuple(found)
