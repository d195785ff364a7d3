"""Private calendar addresses: made, shown once, taken back; and what calendars were told."""

import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.queries.almanac import KINDS, Ahead
from app.queries.feeds import digest_of, news, told_events
from app.services.accounts import digest
from app.services.refusals import NotFound, Refused
from app.store.actor import Actor
from app.store.fishrooms import Fishroom
from app.store.reminders import CalendarEvent, CalendarFeed
from app.store.session import find
from app.store.users import Membership

LONGEST_LABEL = 60
HOURS = range(24)


@dataclass(frozen=True, slots=True)
class FeedReader:
    """Who reads through an address, what they chose to see, and of which fishroom."""

    actor: Actor
    feed_id: int
    kinds: frozenset[str]
    alarm_hour: int | None
    fishroom: str
    realm: str


def make_feed(
    session: Session,
    actor: Actor,
    *,
    label: str = "",
    kinds: Sequence[str] = (),
    alarm_hour: int | None = None,
) -> str:
    """Return the secret of a new calendar address; only its digest is kept. No kinds means all."""
    if len(label.strip()) > LONGEST_LABEL:
        raise Refused(f"A name has at most {LONGEST_LABEL} letters.", "label")
    if alarm_hour is not None and alarm_hour not in HOURS:
        raise Refused("Ring at which hour? Choose one of the list.", "alarm_hour")
    chosen = [kind for kind in KINDS if kind in kinds]
    token = secrets.token_urlsafe(24)
    session.add(
        CalendarFeed(
            fishroom_id=actor.fishroom_id,
            user_id=actor.user_id,
            token_hash=digest(token),
            created_at=actor.now,
            label=label.strip(),
            kinds="" if len(chosen) == len(KINDS) else ",".join(chosen),
            alarm_hour=alarm_hour,
        )
    )
    session.flush()
    return token


def revoke_feed(session: Session, actor: Actor, feed_id: int) -> CalendarFeed:
    """Make an address useless; each member takes back their own, the keeper anyone's."""
    feed = find(session, CalendarFeed, feed_id)
    if feed.user_id != actor.user_id and not actor.may_manage:
        raise NotFound("not your address")
    feed.revoked_at = actor.now
    session.flush()
    return feed


def reader_of_feed(session: Session, token: str, now: datetime) -> FeedReader | None:
    """Return who reads through an address, while it stands and they are a member."""
    statement = (
        select(Membership, Fishroom, CalendarFeed)
        .join(CalendarFeed, CalendarFeed.user_id == Membership.user_id)
        .join(Fishroom, Fishroom.id == Membership.fishroom_id)
        .where(
            CalendarFeed.token_hash == digest(token),
            CalendarFeed.revoked_at.is_(None),
            Membership.fishroom_id == CalendarFeed.fishroom_id,
        )
    )
    found = session.execute(statement).one_or_none()
    if found is None:
        return None
    member, room, feed = found
    actor = Actor.of(room, member.role, now, member.user_id)
    kinds = frozenset(feed.kinds.split(",")) if feed.kinds else frozenset()
    # Numbers of rows are the same on every server; the moment a fishroom was made is not.
    realm = f"{room.id}-{room.created_at:%Y%m%d%H%M%S%f}"
    return FeedReader(actor, feed.id, kinds, feed.alarm_hour, room.name, realm)


def remember_told(session: Session, actor: Actor, entries: Sequence[Ahead]) -> Sequence[CalendarEvent]:
    """Keep what calendars are told now, and return it; whoever comes at the same time waits here.

    It is no act: nothing of the fishroom changes, and the same almanac asked twice changes nothing.
    """
    session.get_one(Fishroom, actor.fishroom_id, with_for_update=True)
    told = {row.uid: row for row in told_events(session)}
    fresh = news(list(told.values()), entries, actor.today)
    for entry in fresh.changed:
        told[entry.uid] = _told(session, actor, told.get(entry.uid), entry)
    for row in fresh.vanished:
        row.cancelled_at = row.changed_at = actor.now
        row.sequence += 1
    session.flush()
    return list(told.values())


def _told(session: Session, actor: Actor, row: CalendarEvent | None, entry: Ahead) -> CalendarEvent:
    if row is None:
        row = CalendarEvent(fishroom_id=actor.fishroom_id, uid=entry.uid, kind=entry.kind, sequence=0)
        session.add(row)
    else:
        row.sequence += 1
    row.title = entry.title[:200]
    row.starts_on, row.ends_on = entry.window.start, entry.window.end
    row.digest, row.changed_at, row.cancelled_at = digest_of(entry), actor.now, None
    return row
