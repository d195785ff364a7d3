"""What the keeper answered to reminders and how early they come; the calendar's addresses and its events."""

from datetime import date, datetime
from enum import StrEnum

from sqlalchemy import ForeignKey, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, Owned, link, owned_by, words


class AnswerKind(StrEnum):
    """Done; not now; or never for this one."""

    DONE = "done"
    LATER = "later"
    NOT_NEEDED = "not needed"


class Answer(Owned, Base):
    """The answer to one reminder, found again by its key."""

    __tablename__ = "reminder_answer"
    __table_args__ = owned_by(UniqueConstraint("fishroom_id", "key"))

    key: Mapped[str] = mapped_column(String(120))
    kind: Mapped[AnswerKind] = mapped_column(words(AnswerKind))
    until_on: Mapped[date | None]
    answered_at: Mapped[datetime]


class Muted(Owned, Base):
    """A rule that is never to speak of one fish, batch, tank or project again."""

    __tablename__ = "muted"
    __table_args__ = owned_by(UniqueConstraint("fishroom_id", "rule", "subject"))

    rule: Mapped[str] = mapped_column(String(40))
    subject: Mapped[str] = mapped_column(String(40))
    muted_at: Mapped[datetime]


class LeadTime(Owned, Base):
    """How many days ahead a rule speaks, in the whole fishroom or for one line."""

    __tablename__ = "lead_time"
    __table_args__ = owned_by(link("line_id", "line"), UniqueConstraint("fishroom_id", "rule", "line_id"))

    rule: Mapped[str] = mapped_column(String(40))
    line_id: Mapped[int | None] = mapped_column(index=True)
    days: Mapped[int]


class CalendarFeed(Owned, Base):
    """A private address of the almanac for one member's calendar; only its digest is kept."""

    __tablename__ = "calendar_feed"
    __table_args__ = owned_by()

    user_id: Mapped[int] = mapped_column(ForeignKey("user_account.id", ondelete="CASCADE"), index=True)
    token_hash: Mapped[str] = mapped_column(String(64), unique=True)
    created_at: Mapped[datetime]
    revoked_at: Mapped[datetime | None]
    label: Mapped[str] = mapped_column(String(60), default="")
    kinds: Mapped[str] = mapped_column(String(200), default="")
    alarm_hour: Mapped[int | None]


class CalendarEvent(Owned, Base):
    """An event as calendars were last told of it, so that a change raises its number and an end is told."""

    __tablename__ = "calendar_event"
    __table_args__ = owned_by(UniqueConstraint("fishroom_id", "uid"))

    uid: Mapped[str] = mapped_column(String(120))
    kind: Mapped[str] = mapped_column(String(40))
    title: Mapped[str] = mapped_column(String(200))
    starts_on: Mapped[date]
    ends_on: Mapped[date]
    digest: Mapped[str] = mapped_column(String(64))
    sequence: Mapped[int] = mapped_column(default=0)
    changed_at: Mapped[datetime]
    cancelled_at: Mapped[datetime | None]
