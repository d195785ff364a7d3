"""Plans: dated steps for a tank, be it a course, an acclimation, a quarantine or the way to plain water."""

from datetime import date
from enum import StrEnum

from sqlalchemy import CheckConstraint, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, Owned, link, owned_by, words


class PlanKind(StrEnum):
    """What a plan is for."""

    COURSE = "course"
    ACCLIMATION = "acclimation"
    QUARANTINE = "quarantine"
    DESALTING = "back to plain water"


class StepKind(StrEnum):
    """What a step asks for."""

    RAISE = "raise to"
    DOSE = "dose"
    CHANGE = "change water"
    LOOK = "look"
    DECIDE = "decide"


class Plan(Owned, Base):
    """One plan of one tank; a course belongs to a case, an acclimation to the fish of :class:`PlanFish`."""

    __tablename__ = "plan"
    __table_args__ = owned_by(
        link("tank_id", "tank"),
        link("case_id", "case"),
        link("substance_id", "substance"),
        link("source_id", "source_water"),
        CheckConstraint("ended_on IS NULL OR ended_on >= started_on", name="ends_after_it_starts"),
    )

    kind: Mapped[PlanKind] = mapped_column(words(PlanKind))
    tank_id: Mapped[int] = mapped_column(index=True)
    case_id: Mapped[int | None] = mapped_column(index=True)
    substance_id: Mapped[int | None] = mapped_column(index=True)
    source_id: Mapped[int | None]
    title: Mapped[str] = mapped_column(String(120))
    started_on: Mapped[date]
    ended_on: Mapped[date | None]
    outcome: Mapped[str] = mapped_column(String(160), default="")
    note: Mapped[str] = mapped_column(Text, default="")


class PlanFish(Owned, Base):
    """A fish that a plan is for."""

    __tablename__ = "plan_fish"
    __table_args__ = owned_by(
        link("plan_id", "plan"), link("fish_id", "fish"), UniqueConstraint("plan_id", "fish_id")
    )

    plan_id: Mapped[int] = mapped_column(index=True)
    fish_id: Mapped[int] = mapped_column(index=True)


class PlanStep(Owned, Base):
    """One dated step: its aim (level per litre, or share of the water), and what was done for it."""

    __tablename__ = "plan_step"
    __table_args__ = owned_by(
        link("plan_id", "plan"),
        link("dose_id", "dose"),
        link("change_id", "water_change"),
        CheckConstraint("fraction IS NULL OR (fraction > 0 AND fraction <= 1)", name="fraction_of_the_water"),
    )

    plan_id: Mapped[int] = mapped_column(index=True)
    due_on: Mapped[date]
    kind: Mapped[StepKind] = mapped_column(words(StepKind))
    level: Mapped[float | None]
    fraction: Mapped[float | None]
    salinity_g_per_l: Mapped[float | None]
    gh_dh: Mapped[float | None]
    temperature_c: Mapped[float | None]
    done_on: Mapped[date | None]
    skipped: Mapped[bool] = mapped_column(default=False)
    dose_id: Mapped[int | None]
    change_id: Mapped[int | None]
    note: Mapped[str] = mapped_column(Text, default="")
