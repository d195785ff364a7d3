"""The calendar page: a member's private addresses."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from app.store.actor import Actor
from app.store.reminders import CalendarFeed
from app.store.session import rows


@dataclass(frozen=True, slots=True)
class FeedShown:
    """One address; its secret was shown when it was made."""

    id: int
    created_at: datetime


@dataclass(frozen=True, slots=True)
class CalendarPage:
    """The member's standing addresses."""

    feeds: tuple[FeedShown, ...]


def calendar_page(session: Session, actor: Actor) -> CalendarPage:
    """Read the member's standing addresses."""
    mine = rows(
        session, CalendarFeed, CalendarFeed.user_id == actor.user_id, CalendarFeed.revoked_at.is_(None)
    )
    return CalendarPage(tuple(FeedShown(feed.id, feed.created_at) for feed in mine))
