"""Where a member's morning message goes, and which mornings went out."""

from datetime import date, datetime, time
from enum import StrEnum

from sqlalchemy import ForeignKey, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, Owned, link, owned_by, words


class Channel(Owned, Base):
    """One address of one member, kept encrypted; ``shown`` is all that pages tell of it."""

    __tablename__ = "channel"
    __table_args__ = owned_by()

    user_id: Mapped[int] = mapped_column(ForeignKey("user_account.id", ondelete="CASCADE"), index=True)
    address_cipher: Mapped[str] = mapped_column(Text)
    shown: Mapped[str] = mapped_column(String(80))
    send_at: Mapped[time]
    paused: Mapped[bool] = mapped_column(default=False)
    created_at: Mapped[datetime]
    broken_at: Mapped[datetime | None]
    broken_words: Mapped[str] = mapped_column(String(300), default="")


class DeliveryState(StrEnum):
    """How far one morning's message came."""

    CLAIMED = "claimed"
    SENT = "sent"
    RETRY = "to be tried again"
    FAILED = "failed"
    NOTHING = "nothing to say"


class Delivery(Owned, Base):
    """One morning of one channel: claimed before it is sent, so that two workers never send it twice."""

    __tablename__ = "delivery"
    __table_args__ = owned_by(link("channel_id", "channel"), UniqueConstraint("channel_id", "day"))

    channel_id: Mapped[int] = mapped_column(index=True)
    day: Mapped[date]
    state: Mapped[DeliveryState] = mapped_column(words(DeliveryState))
    attempts: Mapped[int] = mapped_column(default=0)
    claimed_at: Mapped[datetime]
    next_at: Mapped[datetime | None]
    sent_at: Mapped[datetime | None]
    words: Mapped[str] = mapped_column(String(300), default="")


class SentOnce(Owned, Base):
    """A form that waited in a browser without network, known again by its key, so that it counts once."""

    __tablename__ = "sent_once"
    __table_args__ = owned_by(UniqueConstraint("user_id", "key"))

    user_id: Mapped[int] = mapped_column(ForeignKey("user_account.id", ondelete="CASCADE"))
    key: Mapped[str] = mapped_column(String(64))
    sent_at: Mapped[datetime]
    answer: Mapped[str] = mapped_column(String(300))
