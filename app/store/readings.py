"""Readings: what was measured in a tank, one quantity a row, and the same day by day."""

from collections.abc import Collection
from datetime import date, datetime
from enum import StrEnum
from typing import Any

from sqlalchemy import CheckConstraint, Index, ScalarSelect, Select, String, UniqueConstraint, false, select
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, Owned, link, owned_by, words
from app.store.tanks import Tank


class Quantity(StrEnum):
    """What is measured; the unit it is kept in stands beside it."""

    TEMPERATURE = "temperature"  # °C
    PH = "pH"  # NBS scale
    GH = "GH"  # °dH
    KH = "KH"  # °dH
    AMMONIA = "total ammonia"  # mg/L as N
    NITRITE = "nitrite"  # mg/L as NO2
    NITRATE = "nitrate"  # mg/L as NO3
    SALINITY = "salinity"  # g/L


FILE = "file:"
"""Begins the token's place of a logger whose file was imported: the file's own digest follows."""


class Logger(Owned, Base):
    """A device with a token of its own, of which only the digest is kept; or a logger's file."""

    __tablename__ = "logger"
    __table_args__ = owned_by(link("tank_id", "tank"), UniqueConstraint("fishroom_id", "name"))

    name: Mapped[str] = mapped_column(String(60))
    tank_id: Mapped[int | None] = mapped_column(index=True)
    token_hash: Mapped[str] = mapped_column(String(64), unique=True)
    created_at: Mapped[datetime]
    heard_at: Mapped[datetime | None]
    revoked_at: Mapped[datetime | None]


class Reading(Owned, Base):
    """What was shown at a moment; without a logger a person typed it; the ledger follows a trusted one."""

    __tablename__ = "reading"
    __table_args__ = owned_by(
        link("tank_id", "tank"),
        link("logger_id", "logger"),
        CheckConstraint("value >= 0 AND (quantity <> 'temperature' OR value <= 45)", name="plausible"),
        UniqueConstraint("logger_id", "tank_id", "quantity", "taken_at", name="uq_reading_once"),
        Index("ix_reading_tank_id_quantity_taken_at", "tank_id", "quantity", "taken_at"),
    )

    tank_id: Mapped[int]
    logger_id: Mapped[int | None]
    quantity: Mapped[Quantity] = mapped_column(words(Quantity), default=Quantity.TEMPERATURE)
    taken_at: Mapped[datetime]
    value: Mapped[float]
    trusted: Mapped[bool] = mapped_column(default=False, server_default=false())


RAW = Reading.__table__.c
"""The columns without the net around a fishroom, by which SQLite would look through all its readings
instead of a tank's or a logger's few. Whoever uses them names tanks or loggers found in the fishroom."""


def by_hand(tank_ids: Collection[int] | None, quantities: Collection[Quantity], room: int) -> Select[int]:
    """Return the numbers of what people typed of some tanks, or of all of a fishroom."""
    every = select(Tank.__table__.c.id).where(Tank.__table__.c.fishroom_id == room)
    return select(RAW.id).where(
        RAW.logger_id.is_(None),
        RAW.quantity.in_(quantities),
        RAW.tank_id.in_(every if tank_ids is None else tank_ids),
    )


def newest(
    tank: Any,  # noqa: ANN401 - a number or a column
    quantity: Quantity,
    *,
    typed: bool = False,
) -> ScalarSelect[int]:
    """Return the number of a tank's last reading, found at the end of an index on both databases.

    ``typed`` for the last one of a person.

    Of two at the same moment either may be it: to ask for the later one too would make PostgreSQL sort.
    """
    one = Reading.__table__.alias("newest").c
    found = select(one.id).where(one.tank_id == tank, one.quantity == quantity)
    if typed:
        found = found.where(one.logger_id.is_(None))
    return found.order_by(one.taken_at.desc()).limit(1).scalar_subquery()


class ReadingDay(Owned, Base):
    """One day of a tank in the fishroom's own dates; every page reads days, so years of loggers stay fast."""

    __tablename__ = "reading_day"
    __table_args__ = owned_by(
        link("tank_id", "tank"),
        CheckConstraint("low <= high AND number > 0", name="adds_up"),
        UniqueConstraint("tank_id", "quantity", "day"),
        Index("ix_reading_day_fishroom_id_quantity_day", "fishroom_id", "quantity", "day"),
    )

    tank_id: Mapped[int]
    quantity: Mapped[Quantity] = mapped_column(words(Quantity))
    day: Mapped[date]
    low: Mapped[float]
    high: Mapped[float]
    mean: Mapped[float]
    number: Mapped[int]
