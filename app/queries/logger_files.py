"""What was understood of a logger's file, before it is saved."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from sqlalchemy.orm import Session

from app.core.logger_files import LoggerFile, Row, Trouble, others, rows_of, unit_words
from app.core.loggers.measures import MEASURES
from app.core.wording import listed, many, span_words
from app.queries.quantities import KEPT, show_reading
from app.store.actor import Actor
from app.store.readings import Quantity
from app.store.session import find, rows
from app.store.tanks import Tank

SHOWN_ROWS, SHOWN_TROUBLES = 3, 20


@dataclass(frozen=True, slots=True)
class ReadRow:
    """One of the first rows: as it is written, and as it is understood."""

    text: str
    day: date
    at: str
    value: str


@dataclass(frozen=True, slots=True)
class ImportPage:
    """The tanks to choose from and, once a file was read, what was understood of it."""

    tanks: tuple[tuple[int, str], ...]
    read: LoggerFile | None = None
    new: int = 0
    rows: tuple[ReadRow, ...] = ()
    facts: tuple[tuple[str, str], ...] = ()
    troubles: tuple[Trouble, ...] = ()
    more_troubles: int = 0
    columns: tuple[tuple[int, str], ...] = ()
    title: str = ""
    units: tuple[tuple[str, str], ...] = ()

    @property
    def ready(self) -> bool:
        """Whether it can be saved."""
        return self.read is not None and self.read.ready and self.new > 0


def import_page(session: Session) -> ImportPage:
    """Return the tanks to choose from; a tank taken down may get what is older."""
    found = rows(session, Tank, order=(Tank.closed_on.is_not(None), Tank.position, Tank.id))
    return ImportPage(tuple((tank.id, tank.name) for tank in found))


def import_preview(session: Session, actor: Actor, tank_id: int, read: LoggerFile, there: int) -> ImportPage:
    """Tell what was understood; ``there`` of its moments are known already."""
    tank = find(session, Tank, tank_id)
    new, measured = len(read.rows) - there, MEASURES[read.quantity]
    return ImportPage(
        import_page(session).tanks,
        read,
        new,
        tuple(_shown(actor, Quantity(read.quantity), rows_of(read, SHOWN_ROWS))),
        tuple(_facts(actor, tank, read, new, there)),
        read.troubles[:SHOWN_TROUBLES],
        max(0, len(read.troubles) - SHOWN_TROUBLES),
        tuple((column, read.columns.name(column)) for column in read.columns.numeric),
        KEPT[Quantity(read.quantity)].title,
        tuple((unit.names[0], unit_words(measured, unit)) for unit in measured.units),
    )


def _shown(actor: Actor, quantity: Quantity, found: Iterable[tuple[str, Row]]) -> Iterable[ReadRow]:
    zone = ZoneInfo(actor.zone)
    for text, row in found:
        at = row.at.astimezone(zone)
        yield ReadRow(text, at.date(), f"{at:%H:%M}", show_reading(quantity, row.value, actor.units))


def _facts(actor: Actor, tank: Tank, read: LoggerFile, new: int, there: int) -> Iterable[tuple[str, str]]:
    yield "Tank", tank.name
    quantity, measured = Quantity(read.quantity), MEASURES[read.quantity]
    yield "Readings", f"{len(read.rows):,}" + (f", {new:,} of them new" if there else "")
    if read.rows:
        zone = ZoneInfo(actor.zone)
        first, last = (at.astimezone(zone).date() for at in (read.first, read.last))
        low, high = min(row.value for row in read.rows), max(row.value for row in read.rows)
        yield "Span", span_words(first, last, actor.today)
        yield (
            "Lowest to highest",
            f"{show_reading(quantity, low, actor.units)} to {show_reading(quantity, high, actor.units)}",
        )
    hour = "" if read.columns.hour is None else f" and {read.columns.name(read.columns.hour)}"
    yield "When", f"{read.columns.name(read.columns.day)}{hour}, clock of {read.zone.replace('_', ' ')}"
    unit = unit_words(measured, measured.unit(read.unit, "unit"))
    read_as = f", read as {unit}" if unit != measured.key else ""
    yield KEPT[quantity].title, f"{read.columns.name(read.columns.value)}{read_as}"
    left_out = others(read.columns)
    if left_out:
        yield "Also in the file", f"{listed(left_out)}: one column at a time, then the same file again"
    if read.blank or read.repeated:
        left = [many(read.blank, "line") + " without a number"] if read.blank else []
        left += [many(read.repeated, "line") + " with a time that was there before"] if read.repeated else []
        yield "Passed over", "; ".join(left)
