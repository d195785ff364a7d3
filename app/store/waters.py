"""What goes into a tank: waters and changes, substances and doses, and what the water should be like."""

from datetime import date, datetime
from enum import StrEnum

from sqlalchemy import CheckConstraint, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.core.cautions import Hazard
from app.core.water.levels import Measure
from app.store.base import Base, Owned, link, owned_by, words
from app.store.readings import Quantity

__all__ = [
    "Dose",
    "FryCare",
    "Hazard",
    "Measure",
    "Poured",
    "SourceWater",
    "Substance",
    "SubstanceKind",
    "WaterChange",
    "WaterMove",
    "WaterTarget",
]


class SourceWater(Owned, Base):
    """A water the keeper pours: tap, rain, reverse osmosis; None where it was never measured."""

    __tablename__ = "source_water"
    __table_args__ = owned_by(UniqueConstraint("fishroom_id", "name"))

    name: Mapped[str] = mapped_column(String(60))
    salinity_g_per_l: Mapped[float | None]
    gh_dh: Mapped[float | None]
    kh_dh: Mapped[float | None]
    ph: Mapped[float | None]
    nitrate_mg_per_l: Mapped[float | None]
    temperature_c: Mapped[float | None]
    note: Mapped[str] = mapped_column(Text, default="")
    retired_on: Mapped[date | None]


class WaterMove(StrEnum):
    """Old water out and new in; or only what evaporated, put back."""

    CHANGE = "change"
    TOP_UP = "top-up"


class WaterChange(Owned, Base):
    """One change or top-up of one tank; which waters went in stands in :class:`Poured`."""

    __tablename__ = "water_change"
    __table_args__ = owned_by(link("tank_id", "tank"), CheckConstraint("litres > 0", name="litres_positive"))

    tank_id: Mapped[int] = mapped_column(index=True)
    done_at: Mapped[datetime]
    kind: Mapped[WaterMove] = mapped_column(words(WaterMove))
    litres: Mapped[float]
    note: Mapped[str] = mapped_column(Text, default="")


class Poured(Owned, Base):
    """How much of one water went into a change; several make a blend."""

    __tablename__ = "poured"
    __table_args__ = owned_by(
        link("change_id", "water_change"),
        link("source_id", "source_water"),
        CheckConstraint("litres > 0", name="litres_positive"),
    )

    change_id: Mapped[int] = mapped_column(index=True)
    source_id: Mapped[int] = mapped_column(index=True)
    litres: Mapped[float]


class SubstanceKind(StrEnum):
    """What a substance is to the ledger."""

    SALT = "salt"
    MINERAL = "mineral salt"
    MEDICINE = "medicine"
    OTHER = "other"


class Substance(Owned, Base):
    """Something dosed: a pure salt by its formula, or a product by the figures of its label."""

    __tablename__ = "substance"
    __table_args__ = owned_by(UniqueConstraint("fishroom_id", "name"))

    name: Mapped[str] = mapped_column(String(60))
    kind: Mapped[SubstanceKind] = mapped_column(words(SubstanceKind))
    measure: Mapped[Measure] = mapped_column(words(Measure))
    hazard: Mapped[Hazard] = mapped_column(words(Hazard), default=Hazard.NONE)
    formula: Mapped[str] = mapped_column(String(40), default="")
    gh_dh_per_unit_l: Mapped[float | None]
    kh_dh_per_unit_l: Mapped[float | None]
    label_dose_per_l: Mapped[float | None]
    half_life_days: Mapped[float | None]
    note: Mapped[str] = mapped_column(Text, default="")
    retired_on: Mapped[date | None]


class Dose(Owned, Base):
    """An amount of a substance added to a tank at a moment."""

    __tablename__ = "dose"
    __table_args__ = owned_by(
        link("tank_id", "tank"),
        link("substance_id", "substance"),
        CheckConstraint("amount > 0", name="amount_positive"),
    )

    tank_id: Mapped[int] = mapped_column(index=True)
    substance_id: Mapped[int] = mapped_column(index=True)
    dosed_at: Mapped[datetime]
    amount: Mapped[float]
    note: Mapped[str] = mapped_column(Text, default="")


class WaterTarget(Owned, Base):
    """What the keeper wants the water to be, for a line or for one tank; else the species' table says it."""

    __tablename__ = "water_target"
    __table_args__ = owned_by(
        link("line_id", "line"),
        link("tank_id", "tank"),
        CheckConstraint("(line_id IS NULL) <> (tank_id IS NULL)", name="of_a_line_or_a_tank"),
        CheckConstraint("low IS NULL OR high IS NULL OR low <= high", name="low_below_high"),
        UniqueConstraint("line_id", "quantity"),
        UniqueConstraint("tank_id", "quantity"),
    )

    line_id: Mapped[int | None]
    tank_id: Mapped[int | None]
    quantity: Mapped[Quantity] = mapped_column(words(Quantity))
    low: Mapped[float | None]
    high: Mapped[float | None]


class FryCare(Owned, Base):
    """From an age on, how often fry are fed and their water changed; of one line, or of the fishroom."""

    __tablename__ = "fry_care"
    __table_args__ = owned_by(
        link("line_id", "line"),
        CheckConstraint("feeds_a_day > 0 AND change_every_days > 0", name="something_to_do"),
        CheckConstraint("change_fraction > 0 AND change_fraction <= 1", name="fraction_of_the_water"),
        UniqueConstraint("fishroom_id", "line_id", "from_age_days"),
    )

    line_id: Mapped[int | None] = mapped_column(index=True)
    from_age_days: Mapped[int]
    feeds_a_day: Mapped[int]
    change_every_days: Mapped[int]
    change_fraction: Mapped[float]
