"""The stamps of a logger's file: what stands for day, hour and zone, and what can be read two ways."""

import re
from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta, timezone
from enum import StrEnum
from zoneinfo import ZoneInfo

from app.core.problems import Problem

MIDDAY = time(12)
"""The hour given to a row that has only a day."""

DAY = (
    r"(?:(?P<year>\d{4})[-/.](?P<month>\d{1,2})[-/.](?P<day>\d{1,2})"
    r"|(?P<one>\d{1,2})(?P<between>[-/.])(?P<two>\d{1,2})[-/.](?P<late>\d{4}|\d{2}))"
)
CLOCK = (
    r"(?P<hour>\d{1,2}):(?P<minute>\d{2})(?::(?P<second>\d{2})(?:[.,]\d+)?)?\s*(?P<half>[AaPp]\.?[Mm]\.?)?"
    r"\s*(?P<zone>Z|UTC|GMT|[+-]\d{2}:?\d{2})?"
)
STAMP = re.compile(rf"{DAY}(?:(?:\s*[T,]\s*|\s+){CLOCK})?", re.ASCII)
CLOCK_ALONE = re.compile(CLOCK, re.ASCII)
ZONE_IN_HEAD = re.compile(r"(?:GMT|UTC)\s*(?P<zone>[+-]\d{1,2}(?::?\d{2})?)?", re.ASCII)


class DayOrder(StrEnum):
    """How 03/04/2026 is read."""

    DAY_FIRST = "day first"
    MONTH_FIRST = "month first"


def is_stamp(text: str) -> bool:
    """Say whether a cell holds a day, with or without an hour."""
    return STAMP.fullmatch(text.strip()) is not None


def has_clock(text: str) -> bool:
    """Say whether a cell with a day also holds an hour."""
    found = STAMP.fullmatch(text.strip())
    return found is not None and found["hour"] is not None


def is_clock(text: str) -> bool:
    """Say whether a cell holds an hour and no day."""
    return CLOCK_ALONE.fullmatch(text.strip()) is not None


def day_orders(cells: Iterable[str]) -> set[DayOrder]:
    """Return the ways in which all days of a file can be read; one with points is day first by custom.

    Of a file in which no day tells its order both remain, and the keeper is asked.
    """
    left = set(DayOrder)
    for cell in cells:
        found = STAMP.match(cell.strip())
        if found is None or found["year"]:
            continue
        if found["between"] == "." or int(found["one"]) > 12:
            left.discard(DayOrder.MONTH_FIRST)
        if int(found["two"]) > 12:
            left.discard(DayOrder.DAY_FIRST)
    return left


def needs_order(cells: Iterable[str]) -> bool:
    """Say whether any day is written with the year last."""
    return any((found := STAMP.match(cell.strip())) is not None and found["late"] for cell in cells)


def zone_of_head(head: str) -> timezone | None:
    """Return the zone a heading names, as in ``Date Time, GMT-05:00``; nothing where it names none."""
    found = ZONE_IN_HEAD.search(head)
    return None if found is None else _zone(found["zone"] or "UTC")


class Clock:
    """Turns stamps into moments, one row after the other."""

    def __init__(self, order: DayOrder, zone: ZoneInfo | timezone) -> None:
        """Know how days are written and whose clock it was."""
        self.order, self.zone = order, zone
        self.last: datetime | None = None

    def moment(self, stamp: str, hour: str | None = None) -> datetime:
        """Return the moment of a stamp, or of a day and an hour in two cells, in UTC.

        The hour that comes twice when summer time ends is the second one where the first would
        lead back in time.
        """
        day, found = self._day(stamp)
        if hour is not None:
            found = CLOCK_ALONE.fullmatch(hour.strip())
            if found is None:
                raise Problem(f"{hour.strip()[:30]!r} is no time of day", "time")
        at = self._at(day, found)
        self.last = at if self.last is None else max(at, self.last)
        return at

    def _day(self, stamp: str) -> tuple[date, re.Match[str] | None]:
        found = STAMP.fullmatch(stamp.strip())
        if found is None:
            raise Problem(f"{stamp.strip()[:30]!r} is no date", "date")
        try:
            if found["year"]:
                day = date(int(found["year"]), int(found["month"]), int(found["day"]))
            else:
                first, second = int(found["one"]), int(found["two"])
                pair = (second, first) if self.order is DayOrder.DAY_FIRST else (first, second)
                day = date(int(found["late"]) + (2000 if len(found["late"]) == 2 else 0), *pair)
        except ValueError as error:
            raise Problem(f"there is no day {stamp.strip()[:30]!r}", "date") from error
        return day, found if found["hour"] is not None else None

    def _at(self, day: date, found: re.Match[str] | None) -> datetime:
        written = found["zone"] if found is not None else None
        local = datetime.combine(day, MIDDAY if found is None else _time(found))
        if written:
            return local.replace(tzinfo=_zone(written)).astimezone(UTC)
        first = local.replace(tzinfo=self.zone).astimezone(UTC)
        if self.last is None or first >= self.last:
            return first
        second = local.replace(tzinfo=self.zone, fold=1).astimezone(UTC)
        return max(first, second)


def _time(found: re.Match[str]) -> time:
    hour, half = int(found["hour"]), (found["half"] or "").lower().replace(".", "")
    if half and 1 <= hour <= 12:
        hour = hour % 12 + (12 if half == "pm" else 0)
    try:
        return time(hour, int(found["minute"]), int(found["second"] or 0))
    except ValueError as error:
        raise Problem(f"{found[0].strip()[:30]!r} is no time of day", "time") from error


def _zone(written: str) -> timezone:
    if written in {"Z", "UTC", "GMT"}:
        return UTC
    digits = written[1:].replace(":", "")
    digits = digits.zfill(2) + "00" if len(digits) <= 2 else digits.zfill(4)
    away = timedelta(hours=int(digits[:2]), minutes=int(digits[2:]))
    if away >= timedelta(hours=24):
        raise Problem(f"{written!r} is no time zone", "date")
    return timezone(-away if written[0] == "-" else away)
