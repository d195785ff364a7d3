"""A fishroom: one keeper's or household's whole data, and its ways of measuring."""

from datetime import datetime, time

from sqlalchemy import String
from sqlalchemy.orm import Mapped, mapped_column

from app.core.fry_care import BOX_DAYS
from app.core.quantities import Units
from app.store.base import Base, words


class Fishroom(Base):
    """The unit of access: everything else belongs to one of these."""

    __tablename__ = "fishroom"

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(String(80))
    time_zone: Mapped[str] = mapped_column(String(64), default="UTC")
    units: Mapped[Units] = mapped_column(words(Units), default=Units.METRIC)
    set_point_c: Mapped[float] = mapped_column(default=25.0)
    turn_round_days: Mapped[int] = mapped_column(default=3)
    money: Mapped[str] = mapped_column(String(3), default="")
    box_days: Mapped[int] = mapped_column(default=BOX_DAYS, server_default="14")
    room_share: Mapped[float] = mapped_column(default=1.0, server_default="1")
    quiet_from: Mapped[time | None]
    quiet_to: Mapped[time | None]
    created_at: Mapped[datetime]
