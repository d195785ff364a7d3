"""Tanks, and the sections a divider or a fry box makes of them."""

from datetime import date
from enum import StrEnum

from sqlalchemy import CheckConstraint, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, Owned, link, owned_by, words


class SectionKind(StrEnum):
    """What bounds a section."""

    WHOLE = "whole tank"
    DIVIDED = "behind a divider"
    FRY_BOX = "fry box"


class Tank(Owned, Base):
    """One tank, at its place in the walking order."""

    __tablename__ = "tank"
    __table_args__ = owned_by(
        UniqueConstraint("fishroom_id", "name"),
        CheckConstraint("litres > 0", name="litres_positive"),
    )

    name: Mapped[str] = mapped_column(String(40))
    position: Mapped[int]
    litres: Mapped[float]
    set_point_c: Mapped[float | None]
    quarantine: Mapped[bool] = mapped_column(default=False)
    planted: Mapped[bool] = mapped_column(default=False)
    invertebrates: Mapped[bool] = mapped_column(default=False)
    soft_water_mates: Mapped[bool] = mapped_column(default=False)
    feed_g_per_day: Mapped[float | None]
    note: Mapped[str] = mapped_column(Text, default="")
    closed_on: Mapped[date | None]


class Section(Owned, Base):
    """A part of a tank where fish stand; every tank has at least one."""

    __tablename__ = "section"
    __table_args__ = owned_by(link("tank_id", "tank"), UniqueConstraint("tank_id", "name"))

    tank_id: Mapped[int] = mapped_column(index=True)
    name: Mapped[str] = mapped_column(String(40))
    kind: Mapped[SectionKind] = mapped_column(words(SectionKind))
    position: Mapped[int] = mapped_column(default=0)
    gap_mm: Mapped[float | None]
    closed_on: Mapped[date | None]
