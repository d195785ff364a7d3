"""What each column of a logger's file holds: guessed from its head and its first rows."""

import csv
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from app.core.logger_files.stamps import has_clock, is_clock, is_stamp
from app.core.loggers.measures import Measured
from app.core.problems import Problem

SEPARATORS = ("\t", ";", ",")
LOOKED_AT = 60
"""So many rows tell what a column holds."""
MOST_HEADING = 40
"""So many lines may stand above the first row."""
NUMBER = re.compile(
    r"(?P<number>[-−+]?(?:\d+(?:[.,]\d+)?|[.,]\d+))\s*(?:°|º|deg)?\s*(?P<scale>[CF]|celsius|fahrenheit)?",
    re.ASCII | re.IGNORECASE,
)
WARM = re.compile(r"temp|water|wasser|°|celsius|fahrenheit|\bgrad\b|\(c\)|\(f\)|_c\b|_f\b", re.IGNORECASE)
OTHER = re.compile(
    r"humid|feuchte|dew|taupunkt|batt|volt|lux|light|pressure|\bid\b|%|\brh\b|^#|^no\.?$|count"
    r"|conduct|\bec\b|\btds\b|[µμu]s/cm|\borp\b|redox|\bmv\b|oxygen|\bdo\b",
    re.IGNORECASE,
)
FAHRENHEIT = re.compile(r"°\s*f\b|fahrenheit|\(f\)|_f\b|\bdeg\s*f\b", re.IGNORECASE)
NAMED = (
    ("pH", re.compile(r"\bph\b|^ph_|_ph$", re.IGNORECASE)),
    ("nitrite", re.compile(r"nitrit|\bno2|no₂", re.IGNORECASE)),
    ("nitrate", re.compile(r"nitrat|\bno3|no₃", re.IGNORECASE)),
    ("total ammonia", re.compile(r"ammoni|\bnh[34]\b|nh₃|nh₄|\btan\b", re.IGNORECASE)),
    ("KH", re.compile(r"\bd?kh\b|alkalin|carbonate hard", re.IGNORECASE)),
    ("GH", re.compile(r"\bd?gh\b|hardness", re.IGNORECASE)),
    ("salinity", re.compile(r"salin|\bsalt\b|\bppt\b|\bg/l\b|\bsg\b|gravity", re.IGNORECASE)),
)
"""What a head says is measured, the first that fits; a temperature where none does."""
THERMOMETER = re.compile(r"temp|°\s*[cf]\b|celsius|fahrenheit", re.IGNORECASE)
"""What makes it a temperature, whatever else the head names."""
AS_NITROGEN = re.compile(r"n[oh][234₂₃₄]\s*[-–_ ]\s*n\b|\bas n\b|mg/l n\b", re.IGNORECASE)
"""A nitrogen compound counted by its nitrogen: ``NO3-N``, ``mg/L as N``."""
CELSIUS = re.compile(r"°\s*c\b|celsius|\(c\)|_c\b|\bdeg\s*c\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Columns:
    """Where the day, the hour and the value stand; ``numeric`` are all columns of numbers."""

    separator: str
    head: tuple[str, ...]
    first_line: int
    day: int
    hour: int | None
    value: int
    numeric: tuple[int, ...]
    width: int

    def name(self, column: int) -> str:
        """Return what a column is called."""
        head = self.head[column].strip() if column < len(self.head) else ""
        return head or f"column {column + 1}"


def cells(line: str, separator: str) -> list[str]:
    """Return the cells of one line."""
    return next(csv.reader([line], delimiter=separator), [])


def columns_of(lines: Sequence[str], wanted: int | None = None) -> Columns:
    """Guess the columns; ``wanted`` is the column of the values where the keeper chose one.

    Raises
    ------
    Problem
        If no line has a date and a number.
    """
    for separator in SEPARATORS:
        first = _first_row(lines, separator)
        if first is not None:
            return _columns(lines, separator, first, wanted)
    raise Problem(
        "No line with a date and a number in columns of their own. A logger’s file has lines "
        "such as 2026-06-01 18:30;24.5",
        "file",
    )


def _first_row(lines: Sequence[str], separator: str) -> int | None:
    """Return the first line with a day in one cell and a number in another."""
    for place, line in enumerate(lines[: MOST_HEADING + LOOKED_AT]):
        found = cells(line, separator)
        if len(found) > 1 and any(map(is_stamp, found)) and any(map(_is_number, found)):
            return place
    return None


def _columns(lines: Sequence[str], separator: str, first: int, wanted: int | None) -> Columns:
    rows = [cells(line, separator) for line in lines[first : first + LOOKED_AT] if line.strip()]
    width = len(rows[0])
    head = tuple(cells(lines[first - 1], separator)) if first else ()
    if len(head) < 2 or any(map(is_stamp, head)):
        head = ()
    held = [[row[place] for row in rows if place < len(row)] for place in range(width)]
    day = next(place for place in range(width) if is_stamp(rows[0][place]))
    hour = None
    if not has_clock(rows[0][day]):
        hour = next((place for place in range(width) if _mostly(held[place], is_clock)), None)
    numeric = tuple(
        place for place in range(width) if place not in {day, hour} and _mostly(held[place], _is_number)
    )
    if not numeric:
        raise Problem("No column of numbers beside the dates.", "file")
    if separator == "," and _torn(head, rows, numeric):
        raise Problem(
            "A comma both parts the columns and marks decimals. Save the file with ; between the columns, "
            "or with decimal points.",
            "file",
        )
    value = wanted if wanted in numeric and wanted is not None else _likeliest(head, numeric, held)
    return Columns(separator, head, first, day, hour, value, numeric, width)


def _torn(head: Sequence[str], rows: Sequence[Sequence[str]], numeric: Sequence[int]) -> bool:
    """Say whether commas tore numbers in two: more cells than heads, or two bare whole numbers at the end."""
    width = len(rows[0])
    if head:
        return width > len(head) and all(cell.strip() for cell in rows[0][len(head) - 1 :])
    last = (width - 2, width - 1)
    whole = all(row[place].strip().isdigit() for row in rows for place in last if place < len(row))
    return set(last) <= set(numeric) and whole


def _likeliest(head: Sequence[str], numeric: Sequence[int], held: Sequence[Sequence[str]]) -> int:
    """Return the column that is meant: a temperature by its head, else what it names, never a counter."""

    def worth(place: int) -> tuple[int, int]:
        name = head[place] if place < len(head) else ""
        if named_by(name) not in {None, "temperature"}:
            named = 1
        else:
            named = 2 * bool(WARM.search(name)) - 3 * bool(OTHER.search(name))
        return named, -int(_counts(held[place]))

    return max(numeric, key=worth)


def _counts(found: Sequence[str]) -> bool:
    """Say whether a column only numbers its rows."""
    numbers = [int(cell) for cell in found if cell.strip().isdigit()]
    return len(numbers) == len(found) > 1 and all(b - a == 1 for a, b in pairwise(numbers))


def _mostly(found: Sequence[str], holds: Callable[[str], bool]) -> bool:
    """Say whether four in five cells that hold something hold this."""
    filled = [cell for cell in found if cell.strip()]
    return bool(filled) and sum(map(holds, filled)) >= 0.8 * len(filled)


def _is_number(cell: str) -> bool:
    return NUMBER.fullmatch(cell.strip()) is not None


def named_by(head: str) -> str | None:
    """Return what a head says is measured, a key of ``MEASURES``; None where it names nothing of these."""
    if THERMOMETER.search(head):
        return "temperature"
    return next((key for key, pattern in NAMED if pattern.search(head)), None)


def quantity_of(columns: Columns) -> str:
    """Return what the column's head says is measured; a temperature unless it does."""
    return named_by(columns.name(columns.value)) or "temperature"


def others(columns: Columns) -> list[str]:
    """Return the heads of the other columns that can be taken in."""
    heads = [columns.name(place) for place in columns.numeric if place != columns.value]
    return [head for head in heads if named_by(head) or not OTHER.search(head)]


def unit_of(columns: Columns, rows: Sequence[Sequence[str]], measured: Measured) -> str:
    """Return the unit that cells, head or height tell, else the one that is kept."""
    if measured.key == "temperature":
        return scale_of(columns, rows)
    head = columns.name(columns.value)
    if measured.key in {"nitrite", "nitrate", "total ammonia"}:
        return _counted_as(head, measured)
    told = [name for unit in measured.units for name in unit.names if _names(head, name)]
    return measured.unit(max(told, key=len), "unit").names[0] if told else measured.usual.names[0]


def _counted_as(head: str, measured: Measured) -> str:
    """Return by what a nitrogen compound is counted: by its nitrogen, or whole."""
    if AS_NITROGEN.search(head):
        return "mg/L" if measured.key == "total ammonia" else "mg/L N"
    whole = {"mg/L NH4": r"\bnh[4₄]", "mg/L NH3": r"\bnh[3₃]"} if measured.key == "total ammonia" else {}
    return next((unit for unit, said in whole.items() if re.search(said, head, re.IGNORECASE)), "mg/L")


def _names(head: str, unit: str) -> bool:
    return re.search(rf"(?<!\w){re.escape(unit)}(?!\w)", head, re.IGNORECASE) is not None


def scale_of(columns: Columns, rows: Sequence[Sequence[str]]) -> str:
    """Return ``F`` or ``C``: as a cell or the head says, else by how high the middle of the numbers is."""
    found = [NUMBER.fullmatch(row[columns.value].strip()) for row in rows if columns.value < len(row)]
    said = next((one["scale"][0].upper() for one in found if one is not None and one["scale"]), "")
    if said:
        return said
    head = columns.name(columns.value)
    if FAHRENHEIT.search(head):
        return "F"
    if CELSIUS.search(head):
        return "C"
    numbers = sorted(number(one["number"]) for one in found if one is not None)
    return "F" if numbers and numbers[len(numbers) // 2] > WARMEST_C else "C"


WARMEST_C = 45.0
"""Above this no tank is in °C, so the file is in °F."""


def number(text: str) -> float:
    """Return a number with a point or a comma."""
    return float(text.replace("−", "-").replace(",", "."))
