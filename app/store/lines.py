"""A line: the keeper's own strain of one species, with what the keeper knows better than the table."""

from sqlalchemy import String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, Owned, owned_by


class Line(Owned, Base):
    """A strain; ``species`` is a key of :data:`app.core.species.SPECIES`."""

    __tablename__ = "line"
    __table_args__ = owned_by(UniqueConstraint("fishroom_id", "name"))

    name: Mapped[str] = mapped_column(String(60))
    species: Mapped[str] = mapped_column(String(40))
    note: Mapped[str] = mapped_column(Text, default="")
    interval_days: Mapped[float | None]
    sale_length_mm: Mapped[float | None]
    sexable_age_days: Mapped[float | None]
