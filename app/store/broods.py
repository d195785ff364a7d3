"""Broods: the fry of one drop."""

from datetime import date

from sqlalchemy import CheckConstraint, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, Owned, link, owned_by


class Brood(Owned, Base):
    """One drop; ``dropped_from`` to ``dropped_to`` are the days between which it fell."""

    __tablename__ = "brood"
    __table_args__ = owned_by(
        link("dam_id", "fish"),
        link("line_id", "line"),
        link("pairing_id", "pairing"),
        CheckConstraint("dropped_to >= dropped_from", name="between_two_dates"),
        CheckConstraint("live >= 0 AND dead >= 0 AND early >= 0", name="numbers_not_negative"),
    )

    dam_id: Mapped[int] = mapped_column(index=True)
    line_id: Mapped[int] = mapped_column(index=True)
    pairing_id: Mapped[int | None] = mapped_column(index=True)
    code: Mapped[str] = mapped_column(String(40))
    dropped_from: Mapped[date]
    dropped_to: Mapped[date]
    live: Mapped[int]
    dead: Mapped[int] = mapped_column(default=0)
    early: Mapped[int] = mapped_column(default=0)
    note: Mapped[str] = mapped_column(Text, default="")
