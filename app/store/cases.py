"""Cases: a health problem of a fish, a batch or a tank, from first sign to outcome."""

from datetime import date, datetime
from enum import StrEnum

from sqlalchemy import CheckConstraint, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, Owned, link, owned_by, words


class Ailing(StrEnum):
    """A sign of trouble, in plain words."""

    CLAMPED_FINS = "clamped fins"
    TUFTS = "cotton-like tufts"
    WHITE_SPOTS = "white spots"
    VELVET = "gold or rusty dust"
    FRAYED_FINS = "frayed fins"
    SORES = "sores or red patches"
    SWOLLEN = "swollen belly"
    RAISED_SCALES = "raised scales"
    THIN = "thin or sunken belly"
    BENT_SPINE = "bent spine"
    GASPING = "gasping at the surface"
    RUBBING = "rubbing on things"
    SHIMMYING = "rocking on the spot"
    SINKING = "lying on the bottom"
    OFF_FOOD = "off food"
    WORMS = "worms or threads at the vent"
    PALE = "pale or slimy"
    DEATHS = "deaths without a mark"
    OTHER = "something else"


class CaseOutcome(StrEnum):
    """How a case ended."""

    RECOVERED = "recovered"
    BETTER = "better, not cured"
    DIED = "died"
    KILLED = "killed humanely"
    REHOMED = "left the fishroom"
    UNCLEAR = "unclear"


class Case(Owned, Base):
    """One problem of one fish, batch or tank; the cause is the keeper's word, never the tool's."""

    __tablename__ = "case"
    __table_args__ = owned_by(
        link("fish_id", "fish"),
        link("batch_id", "batch"),
        link("tank_id", "tank"),
        CheckConstraint(
            "(CASE WHEN fish_id IS NULL THEN 0 ELSE 1 END) + (CASE WHEN batch_id IS NULL THEN 0 ELSE 1 END)"
            " + (CASE WHEN tank_id IS NULL THEN 0 ELSE 1 END) = 1",
            name="of_one_fish_batch_or_tank",
        ),
        CheckConstraint("closed_on IS NULL OR closed_on >= opened_on", name="closes_after_it_opens"),
        CheckConstraint("(closed_on IS NULL) = (outcome IS NULL)", name="closed_with_an_outcome"),
    )

    fish_id: Mapped[int | None] = mapped_column(index=True)
    batch_id: Mapped[int | None] = mapped_column(index=True)
    tank_id: Mapped[int | None] = mapped_column(index=True)
    title: Mapped[str] = mapped_column(String(120))
    opened_on: Mapped[date]
    suspected: Mapped[str] = mapped_column(Text, default="")
    note: Mapped[str] = mapped_column(Text, default="")
    closed_on: Mapped[date | None]
    outcome: Mapped[CaseOutcome | None] = mapped_column(words(CaseOutcome))
    what_helped: Mapped[str] = mapped_column(Text, default="")


class CaseSign(Owned, Base):
    """A sign seen on a day of a case, and when it was gone."""

    __tablename__ = "case_sign"
    __table_args__ = owned_by(link("case_id", "case"))

    case_id: Mapped[int] = mapped_column(index=True)
    kind: Mapped[Ailing] = mapped_column(words(Ailing))
    seen_on: Mapped[date]
    gone_on: Mapped[date | None]
    note: Mapped[str] = mapped_column(Text, default="")


class CasePhoto(Owned, Base):
    """A photo of a case; the picture lies in the data folder under its digest."""

    __tablename__ = "case_photo"
    __table_args__ = owned_by(link("case_id", "case"))

    case_id: Mapped[int] = mapped_column(index=True)
    digest: Mapped[str] = mapped_column(String(64))
    width: Mapped[int]
    height: Mapped[int]
    taken_on: Mapped[date]
    added_at: Mapped[datetime]
    note: Mapped[str] = mapped_column(Text, default="")
