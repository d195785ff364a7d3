"""Rehomings: fish that went to another keeper."""

from datetime import date, datetime

from sqlalchemy import CheckConstraint, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, Owned, link, owned_by


class Rehoming(Owned, Base):
    """Some of a batch, or one fish, to another keeper on a day."""

    __tablename__ = "rehoming"
    __table_args__ = owned_by(
        link("batch_id", "batch"),
        link("fish_id", "fish"),
        CheckConstraint("(fish_id IS NULL) <> (batch_id IS NULL)", name="fish_or_batch"),
        CheckConstraint("number > 0", name="number_positive"),
    )

    batch_id: Mapped[int | None] = mapped_column(index=True)
    fish_id: Mapped[int | None] = mapped_column(index=True)
    rehomed_on: Mapped[date]
    number: Mapped[int]
    to_whom: Mapped[str] = mapped_column(String(120), default="")
    price: Mapped[float | None]
    note: Mapped[str] = mapped_column(Text, default="")
    logged_at: Mapped[datetime]
