"""Private calendar addresses: made, shown once, taken back."""

import secrets
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.services.accounts import digest
from app.services.refusals import NotFound
from app.store.actor import Actor
from app.store.fishrooms import Fishroom
from app.store.reminders import CalendarFeed
from app.store.session import find
from app.store.users import Membership


def make_feed(session: Session, actor: Actor) -> str:
    """Return the secret of a new calendar address; only its digest is kept."""
    token = secrets.token_urlsafe(24)
    session.add(
        CalendarFeed(
            fishroom_id=actor.fishroom_id,
            user_id=actor.user_id,
            token_hash=digest(token),
            created_at=actor.now,
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


def actor_of_feed(session: Session, token: str, now: datetime) -> Actor | None:
    """Return who reads through an address, while it stands and they are a member."""
    statement = (
        select(Membership, Fishroom)
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
    member, room = found
    return Actor(member.user_id, room.id, member.role, now, room.time_zone, room.units, room.set_point_c)
