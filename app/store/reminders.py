"""What the keeper answered to a reminder, and the private addresses of the calendar."""

from datetime import date, datetime
from enum import StrEnum

from sqlalchemy import ForeignKey, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, Owned, owned_by, words


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


class CalendarFeed(Owned, Base):
    """A private address of the almanac for one member's calendar; only its digest is kept."""

    __tablename__ = "calendar_feed"
    __table_args__ = owned_by()

    user_id: Mapped[int] = mapped_column(ForeignKey("user_account.id", ondelete="CASCADE"), index=True)
    token_hash: Mapped[str] = mapped_column(String(64), unique=True)
    created_at: Mapped[datetime]
    revoked_at: Mapped[datetime | None]
