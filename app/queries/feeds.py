"""The calendar: a member's private addresses, and the almanac beside what calendars were told of it."""

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.notify.calendar import Dated
from app.queries.almanac import KINDS, Address, Ahead
from app.store.actor import Actor
from app.store.journal import Act
from app.store.readings import Reading
from app.store.reminders import CalendarEvent, CalendarFeed
from app.store.session import rows

TOLD_DAYS = 30
"""How long calendars are told that an event is cancelled, and keep one that is over."""


@dataclass(frozen=True, slots=True)
class FeedShown:
    """One address; its secret was shown when it was made."""

    id: int
    created_at: datetime
    label: str
    kinds: tuple[str, ...]
    alarm_hour: int | None


@dataclass(frozen=True, slots=True)
class CalendarPage:
    """The member's standing addresses."""

    feeds: tuple[FeedShown, ...]


def calendar_page(session: Session, actor: Actor) -> CalendarPage:
    """Read the member's standing addresses."""
    mine = rows(
        session, CalendarFeed, CalendarFeed.user_id == actor.user_id, CalendarFeed.revoked_at.is_(None)
    )
    return CalendarPage(
        tuple(
            FeedShown(
                feed.id,
                feed.created_at,
                feed.label,
                tuple(KINDS[kind].lower() for kind in feed.kinds.split(",") if kind in KINDS),
                feed.alarm_hour,
            )
            for feed in mine
        )
    )


def kind_of(uid: str) -> str:
    """Return the kind of an event from its name."""
    return uid.partition("-")[0]


def digest_of(entry: Ahead) -> str:
    """Return what tells one version of an event from the next."""
    told = (entry.window.start, entry.window.end, entry.title, entry.words)
    return hashlib.sha256(repr(told).encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class News:
    """What calendars were not told yet: what is new or changed, and what will not be."""

    changed: tuple[Ahead, ...]
    vanished: tuple[CalendarEvent, ...]

    def __bool__(self) -> bool:
        """Say whether there is any."""
        return bool(self.changed or self.vanished)


def news(told: Sequence[CalendarEvent], entries: Sequence[Ahead], today: date) -> News:
    """Compare the almanac with what calendars were told; what is over has not vanished."""
    by_uid = {row.uid: row for row in told}
    ahead = {entry.uid for entry in entries}
    return News(
        tuple(entry for entry in entries if _is_news(by_uid.get(entry.uid), entry)),
        tuple(
            row for row in told if row.uid not in ahead and row.cancelled_at is None and row.ends_on >= today
        ),
    )


def _is_news(row: CalendarEvent | None, entry: Ahead) -> bool:
    return row is None or row.cancelled_at is not None or row.digest != digest_of(entry)


def told_events(session: Session) -> Sequence[CalendarEvent]:
    """Return what the calendars of this fishroom were told."""
    return rows(session, CalendarEvent)


def dated(
    told: Sequence[CalendarEvent],
    entries: Iterable[Ahead],
    actor: Actor,
    kinds: frozenset[str],
    address: Address,
) -> list[Dated]:
    """Return the events of one address: what lies ahead, what is just over, and what was cancelled lately."""
    by_uid = {row.uid: row for row in told}
    ahead = {entry.uid: entry for entry in entries}
    found = [
        _ahead(entry, by_uid[uid], address(entry.subject.kind, entry.subject.id))
        for uid, entry in ahead.items()
    ]
    found += [_gone(row) for row in told if row.uid not in ahead and _still_told(row, actor)]
    return [event for event in found if not kinds or kind_of(event.uid) in kinds]


def _ahead(entry: Ahead, row: CalendarEvent, url: str) -> Dated:
    return Dated(
        entry.uid,
        entry.window.start,
        entry.window.end,
        entry.title,
        entry.words,
        url,
        KINDS.get(entry.kind, ""),
        row.changed_at,
        row.sequence,
    )


def _gone(row: CalendarEvent) -> Dated:
    return Dated(
        row.uid,
        row.starts_on,
        row.ends_on,
        row.title,
        "No longer expected." if row.cancelled_at else "",
        "",
        KINDS.get(kind_of(row.uid), ""),
        row.changed_at,
        row.sequence,
        cancelled=row.cancelled_at is not None,
    )


def _still_told(row: CalendarEvent, actor: Actor) -> bool:
    if row.cancelled_at is not None:
        return actor.now - row.cancelled_at <= timedelta(days=TOLD_DAYS)
    return row.ends_on >= actor.today - timedelta(days=TOLD_DAYS)


def stamp(session: Session, actor: Actor) -> str:
    """Return what changes whenever the almanac may: the day, the acts, the readings."""
    room = actor.fishroom_id
    found = session.execute(
        select(
            select(func.max(Act.id)).where(Act.fishroom_id == room).scalar_subquery(),
            select(func.max(Act.undone_at)).where(Act.fishroom_id == room).scalar_subquery(),
            select(func.max(Reading.id)).where(Reading.fishroom_id == room).scalar_subquery(),
        )
    ).one()
    return f"{actor.today} {tuple(found)}"
