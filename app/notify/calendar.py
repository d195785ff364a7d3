"""The almanac as a calendar (RFC 5545 and 7986): windows as all-day events that keep their names."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

OCTETS = 75  # RFC 5545, 3.1: at most 75 octets a line, without its end
CONTROLS = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")  # RFC 5545, 3.1: no control characters but the tabulator


@dataclass(frozen=True, slots=True)
class Dated:
    """One all-day event; ``uid`` stays the same while it moves, ``sequence`` and ``changed_at`` rise."""

    uid: str
    start: date
    last: date
    title: str
    words: str
    url: str
    kind: str
    changed_at: datetime
    sequence: int = 0
    cancelled: bool = False


def calendar_text(name: str, realm: str, events: Iterable[Dated], alarm_hour: int | None = None) -> bytes:
    """Return the calendar; ``realm`` tells its events from those of every other fishroom.

    It names no method: it is published whole, and the stamp of each event is the moment it was last
    changed (RFC 5545, 3.8.7.2).
    """
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Broodwater//Almanac//EN",
        f"NAME:{escaped(name)}",
        f"X-WR-CALNAME:{escaped(name)}",
        "REFRESH-INTERVAL;VALUE=DURATION:PT6H",
        "X-PUBLISHED-TTL:PT6H",
    ]
    for event in events:
        lines += _event(event, realm, alarm_hour)
    lines.append("END:VCALENDAR")
    return b"".join(folded(line) for line in lines)


def _event(dated: Dated, realm: str, alarm_hour: int | None) -> Iterator[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{dated.uid}@{realm}.broodwater"
    yield f"DTSTAMP:{_moment(dated.changed_at)}"
    yield f"LAST-MODIFIED:{_moment(dated.changed_at)}"
    yield f"SEQUENCE:{dated.sequence}"
    yield f"STATUS:{'CANCELLED' if dated.cancelled else 'CONFIRMED'}"
    yield f"DTSTART;VALUE=DATE:{_day(dated.start)}"
    # The end of an all-day event is the day after its last (RFC 5545, 3.6.1).
    yield f"DTEND;VALUE=DATE:{_day(dated.last + timedelta(days=1))}"
    yield f"SUMMARY:{escaped(dated.title)}"
    if dated.words:
        yield f"DESCRIPTION:{escaped(dated.words)}"
    if dated.kind:
        yield f"CATEGORIES:{escaped(dated.kind)}"
    if dated.url:
        yield f"URL:{dated.url}"
    yield "TRANSP:TRANSPARENT"
    if alarm_hour is not None and not dated.cancelled:
        yield from _alarm(dated, alarm_hour)
    yield "END:VEVENT"


def _alarm(dated: Dated, hour: int) -> Iterator[str]:
    """Ring on the first day, counted from its beginning where the calendar is."""
    yield "BEGIN:VALARM"
    yield "ACTION:DISPLAY"
    yield f"TRIGGER:PT{hour}H"
    yield f"DESCRIPTION:{escaped(dated.title)}"
    yield "END:VALARM"


def _day(day: date) -> str:
    return f"{day:%Y%m%d}"


def _moment(moment: datetime) -> str:
    return f"{moment.astimezone(UTC):%Y%m%dT%H%M%SZ}"


def escaped(text: str) -> str:
    """Return text as a property's value (RFC 5545, 3.3.11)."""
    plain = CONTROLS.sub("", text.replace("\r\n", "\n").replace("\r", "\n"))
    return plain.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,").replace("\n", "\\n")


def folded(line: str) -> bytes:
    """Return a content line in pieces of at most 75 octets; no letter is cut in two."""
    rest, pieces = line.encode(), []
    room = OCTETS
    while len(rest) > room:
        at = room
        while rest[at] & 0xC0 == 0x80:  # inside a letter of several octets
            at -= 1
        pieces.append(rest[:at])
        rest, room = rest[at:], OCTETS - 1  # the blank that begins a further piece counts
    return b"\r\n ".join([*pieces, rest]) + b"\r\n"
