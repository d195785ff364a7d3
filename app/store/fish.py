"""Broodstock: the individually kept adults, where they came from and whose children they are."""

from datetime import date
from enum import StrEnum

from sqlalchemy import CheckConstraint, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, Owned, link, owned_by, words


class Sex(StrEnum):
    """What a fish was seen to be."""

    FEMALE = "female"
    MALE = "male"
    UNKNOWN = "unknown"


class Precision(StrEnum):
    """How well a birth date is known."""

    DAY = "to the day"
    WEEK = "to the week"
    MONTH = "to the month"
    GUESS = "a guess"


class Origin(StrEnum):
    """How a fish came here."""

    HOMEBRED = "bred here"
    BOUGHT = "bought"
    TRADED = "traded or given"


class WithMales(StrEnum):
    """Whether she stood with males before she arrived."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"


class Departure(StrEnum):
    """Why a fish left."""

    DIED = "died"
    REHOMED = "rehomed"
    LOST = "lost"


class Fish(Owned, Base):
    """One fish known by a code."""

    __tablename__ = "fish"
    __table_args__ = owned_by(
        UniqueConstraint("fishroom_id", "code"),
        link("line_id", "line"),
        link("dam_id", "fish"),
        link("sire_id", "fish"),
        CheckConstraint("left_on IS NULL OR left_on >= arrived_on", name="leaves_after_arriving"),
    )

    line_id: Mapped[int] = mapped_column(index=True)
    code: Mapped[str] = mapped_column(String(30))
    name: Mapped[str] = mapped_column(String(60), default="")
    sex: Mapped[Sex] = mapped_column(words(Sex))
    born_on: Mapped[date | None]
    born_precision: Mapped[Precision] = mapped_column(words(Precision), default=Precision.GUESS)
    origin: Mapped[Origin] = mapped_column(words(Origin))
    source: Mapped[str] = mapped_column(String(120), default="")
    arrived_on: Mapped[date]
    with_males: Mapped[WithMales] = mapped_column(words(WithMales), default=WithMales.UNKNOWN)
    length_mm: Mapped[float | None]
    origin_salinity_g_per_l: Mapped[float | None]
    origin_gh_dh: Mapped[float | None]
    origin_ph: Mapped[float | None]
    origin_temperature_c: Mapped[float | None]
    quarantine_until: Mapped[date | None]
    dam_id: Mapped[int | None] = mapped_column(index=True)
    sire_id: Mapped[int | None] = mapped_column(index=True)
    left_on: Mapped[date | None]
    departure: Mapped[Departure | None] = mapped_column(words(Departure))
    note: Mapped[str] = mapped_column(Text, default="")
