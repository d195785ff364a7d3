"""Stays: which fish or batch stood in which section from when to when."""

from datetime import date

from sqlalchemy import CheckConstraint, Index, text
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, Owned, link, owned_by


class Stay(Owned, Base):
    """A spell in one section; open while ``to_on`` is empty, and one fish has one open stay."""

    __tablename__ = "stay"
    __table_args__ = owned_by(
        link("section_id", "section"),
        link("fish_id", "fish"),
        link("batch_id", "batch"),
        CheckConstraint("(fish_id IS NULL) <> (batch_id IS NULL)", name="fish_or_batch"),
        CheckConstraint("to_on IS NULL OR to_on >= from_on", name="ends_after_it_starts"),
        Index(
            "uq_stay_open_fish",
            "fish_id",
            unique=True,
            sqlite_where=text("to_on IS NULL AND fish_id IS NOT NULL"),
            postgresql_where=text("to_on IS NULL AND fish_id IS NOT NULL"),
        ),
        Index(
            "uq_stay_open_batch",
            "batch_id",
            unique=True,
            sqlite_where=text("to_on IS NULL AND batch_id IS NOT NULL"),
            postgresql_where=text("to_on IS NULL AND batch_id IS NOT NULL"),
        ),
    )

    section_id: Mapped[int] = mapped_column(index=True)
    fish_id: Mapped[int | None] = mapped_column(index=True)
    batch_id: Mapped[int | None] = mapped_column(index=True)
    from_on: Mapped[date]
    to_on: Mapped[date | None]
