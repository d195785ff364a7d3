"""Signs seen on a dam before she drops."""

from datetime import date
from enum import StrEnum

from sqlalchemy import Text
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, Owned, link, owned_by, words


class SignKind(StrEnum):
    """What was seen."""

    DARK_SPOT = "dark gravid spot"
    SQUARED_BELLY = "squared belly"
    HIDING = "hiding"
    OFF_FOOD = "off food"
    RESTLESS = "restless"


class Sign(Owned, Base):
    """One sign on one day."""

    __tablename__ = "sign"
    __table_args__ = owned_by(link("fish_id", "fish"))

    fish_id: Mapped[int] = mapped_column(index=True)
    kind: Mapped[SignKind] = mapped_column(words(SignKind))
    seen_on: Mapped[date]
    note: Mapped[str] = mapped_column(Text, default="")
