"""Carrying: a dam's spell from exposure, arrival or last drop to her next drop."""

from datetime import date
from enum import StrEnum

from sqlalchemy import Index, text
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, Owned, link, owned_by, words


class Basis(StrEnum):
    """What started the clock."""

    EXPOSURE = "exposure"
    LAST_DROP = "last drop"
    ARRIVAL = "arrival"


class Outcome(StrEnum):
    """How the spell ended."""

    DROPPED = "dropped"
    NOT_CARRYING = "not carrying"
    MISSED = "drop missed or eaten"
    LEFT = "dam left"


class Carrying(Owned, Base):
    """One spell; a dam has at most one open. ``started_until`` is the last day it can have begun."""

    __tablename__ = "carrying"
    __table_args__ = owned_by(
        link("dam_id", "fish"),
        link("pairing_id", "pairing"),
        link("brood_id", "brood"),
        link("after_brood_id", "brood"),
        Index(
            "uq_carrying_open",
            "dam_id",
            unique=True,
            sqlite_where=text("ended_on IS NULL"),
            postgresql_where=text("ended_on IS NULL"),
        ),
    )

    dam_id: Mapped[int] = mapped_column(index=True)
    basis: Mapped[Basis] = mapped_column(words(Basis))
    started_on: Mapped[date]
    started_until: Mapped[date]
    pairing_id: Mapped[int | None] = mapped_column(index=True)
    after_brood_id: Mapped[int | None] = mapped_column(index=True)
    brood_id: Mapped[int | None] = mapped_column(index=True)
    outcome: Mapped[Outcome | None] = mapped_column(words(Outcome))
    ended_on: Mapped[date | None]
