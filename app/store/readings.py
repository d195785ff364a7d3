"""Temperature readings of a tank."""

from datetime import datetime

from sqlalchemy import CheckConstraint, Index
from sqlalchemy.orm import Mapped

from app.store.base import Base, Owned, link, owned_by


class Reading(Owned, Base):
    """What the thermometer showed at a moment."""

    __tablename__ = "reading"
    __table_args__ = owned_by(
        link("tank_id", "tank"),
        CheckConstraint("temperature_c BETWEEN 0 AND 45", name="temperature_plausible"),
        Index("ix_reading_tank_id_taken_at", "tank_id", "taken_at"),
    )

    tank_id: Mapped[int]
    taken_at: Mapped[datetime]
    temperature_c: Mapped[float]
