"""The almanac as a calendar (RFC 5545): windows as all-day events that keep their names."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from icalendar import Calendar, Event


@dataclass(frozen=True, slots=True)
class Dated:
    """One all-day event; ``uid`` stays the same while it moves."""

    uid: str
    start: date
    last: date
    title: str
    words: str
    url: str


def calendar_text(name: str, events: Iterable[Dated], stamp: datetime) -> bytes:
    """Return the calendar; the end of an all-day event is the day after its last (RFC 5545, 3.6.1)."""
    calendar = Calendar()
    calendar.add("prodid", "-//Broodwater//Almanac//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("name", name)
    calendar.add("x-wr-calname", name)
    calendar.add("refresh-interval", timedelta(hours=6), parameters={"VALUE": "DURATION"})
    for event in events:
        calendar.add_component(_event(event, stamp))
    return bytes(calendar.to_ical())


def _event(dated: Dated, stamp: datetime) -> Event:
    event = Event()
    event.add("uid", f"{dated.uid}@broodwater")
    event.add("dtstamp", stamp)
    event.add("dtstart", dated.start)
    event.add("dtend", dated.last + timedelta(days=1))
    event.add("summary", dated.title)
    event.add("description", dated.words)
    event.add("url", dated.url)
    event.add("transp", "TRANSPARENT")
    return event
