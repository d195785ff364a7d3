"""A pasted column of dated temperatures: each line read by itself, or its trouble named."""

import re
from dataclasses import dataclass
from datetime import date, time

from app.core.problems import Problem
from app.core.quantities.parsing import parse_temperature
from app.core.quantities.units import Units
from app.core.wording import MONTHS

MOST_LINES = 2000
"""A thermometer read three times a day for two years fits; more is a slip of the paste (judgement)."""

ISO = re.compile(r"(?P<year>\d{4})[-/.](?P<month>\d{1,2})[-/.](?P<day>\d{1,2})")
POINTED = re.compile(r"(?P<day>\d{1,2})\.(?P<month>\d{1,2})\.(?P<year>\d{4}|\d{2})?")
SLASHED = re.compile(r"(?P<one>\d{1,2})/(?P<two>\d{1,2})/(?P<year>\d{4}|\d{2})")
NAMED = re.compile(r"(?P<day>\d{1,2})\.?\s+(?P<name>[A-Za-z]{3,9})\.?,?(?:\s+(?P<year>\d{4}))?")
NAMED_FIRST = re.compile(r"(?P<name>[A-Za-z]{3,9})\.?\s+(?P<day>\d{1,2})(?:,?\s+(?P<year>\d{4}))?")
CLOCK = re.compile(
    r"[T\s,;]*(?P<hour>\d{1,2}):(?P<minute>\d{2})(?::\d{2}(?:\.\d+)?)?\s*(?P<half>[AaPp][Mm])?"
)
BETWEEN = " \t,;|"


@dataclass(frozen=True, slots=True)
class DatedLine:
    """One line: what was read of it, or ``trouble`` in words."""

    text: str
    day: date | None = None
    at: time | None = None
    celsius: float | None = None
    trouble: str = ""


def parse_dated(text: str, today: date, units: Units = Units.METRIC) -> tuple[DatedLine, ...]:
    """Read every line that holds something: a day, an hour if one is given, and a temperature.

    Parameters
    ----------
    text : str
        Lines such as ``2026-06-01 24.5``, ``1 June; 76 F`` or ``01.06.2026 18:30, 24,5``. A heading
        without any digit is passed over.
    today : date
        Gives the year where none is written: the latest that is not ahead.
    units : Units
        The keeper's units: the scale of a bare number, and whether 6/1 is June or January.

    Raises
    ------
    Problem
        If nothing was pasted, or far too much.
    """
    lines = [line.strip() for line in text.splitlines() if any(c.isdigit() for c in line)]
    if not lines:
        raise Problem("No line with a date and a temperature. Paste lines such as 2026-06-01 24.5", "lines")
    if len(lines) > MOST_LINES:
        raise Problem(f"{len(lines)} lines at once; paste at most {MOST_LINES}", "lines")
    return tuple(_line(line, today, units) for line in lines)


def _line(line: str, today: date, units: Units) -> DatedLine:
    try:
        day, rest = _day(line, today, units)
        at, rest = _clock(rest)
        celsius = parse_temperature(rest.strip(BETWEEN), units, "lines")
    except Problem as problem:
        return DatedLine(line, trouble=problem.message)
    return DatedLine(line, day, at, celsius)


def _day(line: str, today: date, units: Units) -> tuple[date, str]:
    for pattern in (ISO, POINTED, SLASHED, NAMED, NAMED_FIRST):
        found = pattern.match(line)
        if found is not None:
            return _as_date(found, today, units), line[found.end() :]
    raise Problem(f"{line[:30]!r} does not begin with a date; write 2026-06-01 24.5", "lines")


def _as_date(found: re.Match[str], today: date, units: Units) -> date:
    parts = found.groupdict()
    day, month = _day_and_month(parts, found[0], units)
    year = parts.get("year")
    try:
        if year:
            return date(int(year) + (2000 if len(year) == 2 else 0), month, day)
        this_year = date(today.year, month, day)
        return this_year if this_year <= today else date(today.year - 1, month, day)
    except ValueError as error:
        raise Problem(f"there is no day {found[0]!r}; write it like 2026-06-01", "lines") from error


def _day_and_month(parts: dict[str, str | None], seen: str, units: Units) -> tuple[int, int]:
    if parts.get("name"):
        name = str(parts["name"]).lower()
        months = [number for number, full in enumerate(MONTHS, 1) if full.lower().startswith(name[:3])]
        if not months or not MONTHS[months[0] - 1].lower().startswith(name.removesuffix("t")):
            raise Problem(f"{parts['name']!r} is not a month; write 1 June or 2026-06-01", "lines")
        return int(str(parts["day"])), months[0]
    if parts.get("one") is None:
        return int(str(parts["day"])), int(str(parts["month"]))
    one, two = int(str(parts["one"])), int(str(parts["two"]))
    if one <= 12 and two <= 12 and one != two and units is Units.METRIC:
        raise Problem(f"{seen!r} can be read two ways; write 2026-06-01 or 1 June 2026", "lines")
    month_first = two > 12 or (units is Units.US and one <= 12)
    return (two, one) if month_first else (one, two)


def _clock(rest: str) -> tuple[time | None, str]:
    found = CLOCK.match(rest)
    if found is None:
        return None, rest
    hour, minute, half = int(found["hour"]), int(found["minute"]), (found["half"] or "").lower()
    if half and 1 <= hour <= 12:
        hour = hour % 12 + (12 if half == "pm" else 0)
    if hour > 23 or minute > 59:
        raise Problem(f"{found[0].strip(BETWEEN + 'T')!r} is no time of day; write 18:30", "lines")
    return time(hour, minute), rest[found.end() :]
