"""A whole logger's file as moments and values, with everything that could not be read by its line."""

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from zoneinfo import ZoneInfo

from app.core.logger_files.columns import NUMBER, Columns, columns_of, number, quantity_of, unit_of
from app.core.logger_files.stamps import Clock, DayOrder, day_orders, needs_order, zone_of_head
from app.core.loggers.items import AHEAD, OLDEST_YEARS
from app.core.loggers.measures import MEASURES, Measured, Unit
from app.core.problems import Problem

MOST_ROWS = 300_000
"""Nearly three years of five-minute readings."""
LONGEST_SEEN = 60


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the keeper chose where the file can be read in several ways; none lets it be guessed."""

    order: DayOrder | None = None
    unit: str = ""
    column: int | None = None
    quantity: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One value in the unit that is kept, with the line it stands on."""

    line: int
    at: datetime
    value: float


@dataclass(frozen=True, slots=True)
class Trouble:
    """A line that could not be read, and why."""

    line: int
    text: str
    words: str


@dataclass(frozen=True, slots=True)
class LoggerFile:
    """What was read of a file; ``quantity`` and ``unit`` as in :data:`app.core.loggers.measures.MEASURES`.

    ``two_ways`` where its days do not tell whether day or month stands first, ``asks_order`` while
    the keeper did not tell either.
    """

    columns: Columns
    order: DayOrder
    two_ways: bool
    asks_order: bool
    quantity: str
    unit: str
    zone: str
    rows: tuple[Row, ...]
    troubles: tuple[Trouble, ...]
    blank: int
    repeated: int
    start: tuple[str, ...]

    @property
    def ready(self) -> bool:
        """Whether it can be saved as it was read."""
        return bool(self.rows) and not self.asks_order

    @property
    def first(self) -> datetime:
        """The earliest moment."""
        return min(row.at for row in self.rows)

    @property
    def last(self) -> datetime:
        """The latest moment."""
        return max(row.at for row in self.rows)


def read_file(text: str, zone: ZoneInfo, now: datetime, wanted: Wanted | None = None) -> LoggerFile:
    """Read a file as far as it can be read.

    Parameters
    ----------
    text : str
        Lines with columns parted by ``,``, ``;`` or tabs; what stands above the first row is passed
        over, its last line taken as the heads.
    zone : ZoneInfo
        The fishroom's clock, for stamps that name no zone and under no head that does.
    now : datetime
        What lies ahead of it, or more than twenty years back, is trouble.
    wanted : Wanted, optional
        The keeper's own choices.

    Raises
    ------
    Problem
        If no line can be a row, or there are far too many.
    """
    wanted = wanted or Wanted()
    lines = text.removeprefix("\ufeff").splitlines()
    columns = columns_of(lines, wanted.column)
    rows = _cells(lines, columns)
    if len(rows) > MOST_ROWS:
        raise Problem(f"{len(rows)} lines at once; import at most {MOST_ROWS}, a year or two", "file")
    stamps = [row[columns.day] for _, row in rows if columns.day < len(row)]
    left = day_orders(stamps)
    order = next(iter(left)) if len(left) == 1 else wanted.order or DayOrder.DAY_FIRST
    two_ways = len(left) == 2 and needs_order(stamps)
    measured, unit = _measured(wanted, columns, [row for _, row in rows])
    clock_zone: ZoneInfo | timezone = zone_of_head(columns.name(columns.day)) or zone
    reader = _Reader(columns, Clock(order, clock_zone), measured, unit, now)
    for line, cells in rows:
        reader.take(line, cells)
    return LoggerFile(
        columns,
        order,
        two_ways,
        two_ways and wanted.order is None,
        measured.key,
        unit.names[0],
        str(clock_zone),
        tuple(reader.rows),
        tuple(reader.troubles),
        reader.blank,
        reader.repeated,
        tuple(lines[columns.first_line : columns.first_line + 5]),
    )


def _measured(wanted: Wanted, columns: Columns, rows: Sequence[Sequence[str]]) -> tuple[Measured, Unit]:
    measured = MEASURES.get(wanted.quantity) or MEASURES[quantity_of(columns)]
    offered = {unit.names[0]: unit for unit in measured.units}
    return measured, offered.get(wanted.unit) or offered[unit_of(columns, rows, measured)]


def _cells(lines: Sequence[str], columns: Columns) -> list[tuple[int, list[str]]]:
    """Return the cells of every row with the number of its line, empty lines left out."""
    reader = csv.reader(lines[columns.first_line :], delimiter=columns.separator)
    try:
        return [(columns.first_line + reader.line_num, row) for row in reader if any(row)]
    except csv.Error as error:
        line = columns.first_line + reader.line_num
        raise Problem(f"line {line} breaks off: {error}. Is it a text file?", "file") from error


def decoded(raw: bytes) -> str:
    """Return a file's text: UTF-8, UTF-16 with its mark, or else the old Western code page."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        return raw.decode("utf-16", errors="replace")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("cp1252", errors="replace")


class _Reader:
    """Reads row by row; what cannot be is kept as trouble."""

    def __init__(self, columns: Columns, clock: Clock, measured: Measured, unit: Unit, now: datetime) -> None:
        self.columns, self.clock, self.measured, self.unit = columns, clock, measured, unit
        self.latest, self.oldest = now + AHEAD, now - timedelta(days=round(OLDEST_YEARS * 365.25))
        self.rows: list[Row] = []
        self.troubles: list[Trouble] = []
        self.seen: set[datetime] = set()
        self.blank = self.repeated = 0

    def take(self, line: int, cells: list[str]) -> None:
        """Read one row."""
        try:
            found = self._row(cells)
        except Problem as problem:
            seen = self.columns.separator.join(cells)[:LONGEST_SEEN]
            self.troubles.append(Trouble(line, seen, problem.message))
            return
        if found is None:
            self.blank += 1
        elif found[0] in self.seen:
            self.repeated += 1
        else:
            self.seen.add(found[0])
            self.rows.append(Row(line, *found))

    def _row(self, cells: list[str]) -> tuple[datetime, float] | None:
        columns = self.columns
        needed = max(columns.day, columns.value, columns.hour or 0)
        if len(cells) <= needed:
            raise Problem("columns are missing", "file")
        shown = cells[columns.value].strip()
        if not shown:
            return None
        at = self.clock.moment(cells[columns.day], None if columns.hour is None else cells[columns.hour])
        if at > self.latest:
            raise Problem("still ahead; was the logger’s clock right?", "date")
        if at < self.oldest:
            raise Problem(f"more than {OLDEST_YEARS} years ago", "date")
        return at, self._kept(shown)

    def _kept(self, shown: str) -> float:
        found = NUMBER.fullmatch(shown)
        if found is None:
            raise Problem(f"{shown[:20]!r} is not a number", "value")
        value = number(found["number"])
        if not self.unit.lowest <= value <= self.unit.highest:
            said = f"{self.measured.key} of {value:g} {unit_words(self.measured, self.unit)}"
            raise Problem(f"no tank has a {said.removesuffix(' pH')}", "value")
        return self.unit.kept(value)


def unit_words(measured: Measured, unit: Unit) -> str:
    """Return a unit as it is written beside a number: ``°F``, ``mg/L as nitrogen``."""
    name = unit.names[0]
    if unit is measured.usual and measured.words.startswith(name):
        return measured.words
    if name == "SG":
        return "SG at 25 °C"
    return {"C": "°C", "F": "°F", "dH": "°dH", "ppm": "mg/L CaCO3"}.get(name, name)


def rows_of(read: LoggerFile, number_of_rows: int) -> Iterator[tuple[str, Row]]:
    """Return the first rows beside their lines as written."""
    by_line = {row.line: row for row in read.rows[: number_of_rows * 2]}
    for place, text in enumerate(read.start[:number_of_rows]):
        row = by_line.get(read.columns.first_line + place + 1)
        if row is not None:
            yield text, row
