"""People waiting for fish, and what they want."""

from datetime import date, datetime

from sqlalchemy import CheckConstraint, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, Owned, link, owned_by, words
from app.store.batches import BatchSex


class Want(Owned, Base):
    """Someone waits for fish of a line; ``batch_id`` is the batch that some were promised from.

    It is over on ``ended_on``: served by ``rehoming_id``, or else taken off the list.
    """

    __tablename__ = "want"
    __table_args__ = owned_by(
        link("line_id", "line"),
        link("batch_id", "batch"),
        link("rehoming_id", "rehoming"),
        CheckConstraint("number > 0", name="number_positive"),
        CheckConstraint("rehoming_id IS NULL OR ended_on IS NOT NULL", name="served_is_over"),
    )

    who: Mapped[str] = mapped_column(String(120))
    line_id: Mapped[int] = mapped_column(index=True)
    sex: Mapped[BatchSex] = mapped_column(words(BatchSex), default=BatchSex.MIXED)
    number: Mapped[int]
    since_on: Mapped[date]
    note: Mapped[str] = mapped_column(Text, default="")
    batch_id: Mapped[int | None] = mapped_column(index=True)
    ended_on: Mapped[date | None]
    rehoming_id: Mapped[int | None] = mapped_column(index=True)
    logged_at: Mapped[datetime]
