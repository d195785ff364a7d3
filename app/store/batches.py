"""Batches: fry or unsexed juveniles kept and counted together, and what happened to their number."""

from datetime import date, datetime
from enum import StrEnum

from sqlalchemy import JSON, CheckConstraint, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, Owned, link, owned_by, words


class BatchSex(StrEnum):
    """What a batch holds, as far as the keeper could tell."""

    MIXED = "mixed"
    FEMALES = "females"
    MALES = "males"


class Batch(Owned, Base):
    """Fish counted together; ``start_count`` of them from ``started_on`` on."""

    __tablename__ = "batch"
    __table_args__ = owned_by(
        UniqueConstraint("fishroom_id", "code"),
        link("line_id", "line"),
        link("brood_id", "brood"),
        link("parent_id", "batch"),
        CheckConstraint("start_count >= 0", name="start_not_negative"),
    )

    line_id: Mapped[int] = mapped_column(index=True)
    brood_id: Mapped[int | None] = mapped_column(index=True)
    parent_id: Mapped[int | None] = mapped_column(index=True)
    code: Mapped[str] = mapped_column(String(40))
    sex: Mapped[BatchSex] = mapped_column(words(BatchSex), default=BatchSex.MIXED)
    born_from: Mapped[date]
    born_to: Mapped[date]
    started_on: Mapped[date]
    start_count: Mapped[int]
    source: Mapped[str] = mapped_column(String(120), default="")
    closed_on: Mapped[date | None]
    note: Mapped[str] = mapped_column(Text, default="")
    logged_at: Mapped[datetime]


class Count(Owned, Base):
    """How many were alive on a day, by sex where known."""

    __tablename__ = "batch_count"
    __table_args__ = owned_by(
        link("batch_id", "batch"), CheckConstraint("alive >= 0", name="alive_not_negative")
    )

    batch_id: Mapped[int] = mapped_column(index=True)
    counted_on: Mapped[date]
    alive: Mapped[int]
    females: Mapped[int | None]
    males: Mapped[int | None]
    logged_at: Mapped[datetime]


class LossCause(StrEnum):
    """What the keeper thinks became of them."""

    UNKNOWN = "unknown"
    ILL = "illness"
    EATEN = "eaten"
    WATER = "water or equipment"
    CULLED = "culled"


class Loss(Owned, Base):
    """Fish of a batch that died or went missing on a day."""

    __tablename__ = "loss"
    __table_args__ = owned_by(
        link("batch_id", "batch"), CheckConstraint("number > 0", name="number_positive")
    )

    batch_id: Mapped[int] = mapped_column(index=True)
    lost_on: Mapped[date]
    number: Mapped[int]
    cause: Mapped[LossCause] = mapped_column(words(LossCause), default=LossCause.UNKNOWN)
    note: Mapped[str] = mapped_column(Text, default="")
    logged_at: Mapped[datetime]


class Keeping(Owned, Base):
    """One fry of a batch, kept as broodstock."""

    __tablename__ = "keeping"
    __table_args__ = owned_by(link("batch_id", "batch"), link("fish_id", "fish"), UniqueConstraint("fish_id"))

    batch_id: Mapped[int] = mapped_column(index=True)
    fish_id: Mapped[int] = mapped_column(index=True)
    kept_on: Mapped[date]
    logged_at: Mapped[datetime]


class LengthKind(StrEnum):
    """Which length was measured."""

    TOTAL = "total"
    STANDARD = "standard"


class LengthCheck(Owned, Base):
    """Lengths of a sample of a batch on a day: each fish, or number, mean and spread."""

    __tablename__ = "length_check"
    __table_args__ = owned_by(
        link("batch_id", "batch"), CheckConstraint("n > 0 AND mean_mm > 0", name="sample_not_empty")
    )

    batch_id: Mapped[int] = mapped_column(index=True)
    checked_on: Mapped[date]
    kind: Mapped[LengthKind] = mapped_column(words(LengthKind), default=LengthKind.TOTAL)
    n: Mapped[int]
    mean_mm: Mapped[float]
    sd_mm: Mapped[float | None]
    lengths_mm: Mapped[list[float] | None] = mapped_column(JSON)
    logged_at: Mapped[datetime]
