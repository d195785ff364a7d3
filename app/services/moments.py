"""When something was done at a tank: by the fishroom's clock, never ahead, never after the tank is gone."""

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from app.core.wording import day_words
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.tanks import Tank

OLDEST_YEARS = 20
"""What is dated further back is a slip of the year (judgement)."""
MIDDAY = time(12)
"""The hour given to something of an earlier day whose hour nobody wrote down."""


def moment(actor: Actor, on: date, at: time | None = None) -> datetime:
    """Return a moment by the fishroom's clock: now for today, midday for an earlier day."""
    if at is None and on == actor.today:
        return actor.now
    return datetime.combine(on, at or MIDDAY, ZoneInfo(actor.zone))


def moment_words(actor: Actor, at: datetime) -> str:
    """Return the day and hour of a moment."""
    return f"{day_words(actor.day(at), actor.today)}, {actor.local(at):%H:%M}"


def check_moment(actor: Actor, tank: Tank, at: datetime, done: str = "it is done") -> None:
    """Refuse a moment that is ahead, or after the tank was taken down."""
    if at > actor.now:
        raise Refused(f"{moment_words(actor, at)} is still ahead. Log it when {done}.", "on")
    if at < actor.now - timedelta(days=365 * OLDEST_YEARS):
        raise Refused(f"{moment_words(actor, at)} is more than {OLDEST_YEARS} years ago.", "on")
    if tank.closed_on is not None and actor.day(at) > tank.closed_on:
        raise Refused(f"{tank.name} was taken down on {day_words(tank.closed_on)}.", "on")
