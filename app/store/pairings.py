"""Pairings: sires and dams put together in a section from a day, to a day."""

from datetime import date

from sqlalchemy import CheckConstraint, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, Owned, link, owned_by


class Pairing(Owned, Base):
    """One putting-together; who takes part stands in :class:`PairingMember`."""

    __tablename__ = "pairing"
    __table_args__ = owned_by(
        link("section_id", "section"),
        link("project_id", "project"),
        CheckConstraint("ended_on IS NULL OR ended_on >= started_on", name="ends_after_it_starts"),
    )

    section_id: Mapped[int] = mapped_column(index=True)
    project_id: Mapped[int | None] = mapped_column(index=True)
    started_on: Mapped[date]
    ended_on: Mapped[date | None]
    note: Mapped[str] = mapped_column(Text, default="")


class PairingMember(Owned, Base):
    """One fish in a pairing; sire or dam by its sex."""

    __tablename__ = "pairing_member"
    __table_args__ = owned_by(
        link("pairing_id", "pairing"), link("fish_id", "fish"), UniqueConstraint("pairing_id", "fish_id")
    )

    pairing_id: Mapped[int] = mapped_column(index=True)
    fish_id: Mapped[int] = mapped_column(index=True)
