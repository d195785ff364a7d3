"""Forecasts as they were issued, so that later truth can score them."""

from datetime import date, datetime
from enum import StrEnum
from typing import Any

from sqlalchemy import JSON, CheckConstraint, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, Owned, link, owned_by, words


class ForecastKind(StrEnum):
    """What is foretold."""

    BIRTH = "birth"
    SEXING = "sexing"
    READY = "ready"


class Forecast(Owned, Base):
    """One forecast as first shown: its window, the digest of its inputs and the model's version."""

    __tablename__ = "forecast"
    __table_args__ = owned_by(
        link("carrying_id", "carrying", ondelete="CASCADE"),
        link("batch_id", "batch", ondelete="CASCADE"),
        CheckConstraint("(carrying_id IS NULL) <> (batch_id IS NULL)", name="carrying_or_batch"),
        Index("ix_forecast_subject", "fishroom_id", "kind", "carrying_id", "batch_id"),
    )

    kind: Mapped[ForecastKind] = mapped_column(words(ForecastKind))
    carrying_id: Mapped[int | None] = mapped_column(index=True)
    batch_id: Mapped[int | None] = mapped_column(index=True)
    issued_on: Mapped[date]
    issued_at: Mapped[datetime]
    median: Mapped[date | None]
    from_80: Mapped[date | None]
    to_80: Mapped[date | None]
    naive: Mapped[date | None]
    probability: Mapped[float | None]
    detail: Mapped[dict[str, Any]] = mapped_column(JSON)
    digest: Mapped[str] = mapped_column(String(64))
    model_version: Mapped[str] = mapped_column(String(20))
