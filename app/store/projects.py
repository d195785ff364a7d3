"""Breeding projects: aim, line, wanted numbers, tank, and place in the queue."""

from datetime import date
from enum import StrEnum

from sqlalchemy import CheckConstraint, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, Owned, link, owned_by, words


class ProjectState(StrEnum):
    """Where a project stands."""

    WAITING = "waiting"
    RUNNING = "running"
    RESTING = "resting"
    CLOSED = "closed"


class Project(Owned, Base):
    """One project from plan to closing notes."""

    __tablename__ = "project"
    __table_args__ = owned_by(link("line_id", "line"), link("tank_id", "tank"))

    line_id: Mapped[int] = mapped_column(index=True)
    tank_id: Mapped[int | None] = mapped_column(index=True)
    aim: Mapped[str] = mapped_column(String(160))
    wanted: Mapped[int | None]
    wanted_females: Mapped[int | None]
    wanted_males: Mapped[int | None]
    purpose: Mapped[str] = mapped_column(String(80), default="")
    least_litres: Mapped[float | None]
    not_before: Mapped[date | None]
    lasts_from_days: Mapped[int | None]
    lasts_to_days: Mapped[int | None]
    state: Mapped[ProjectState] = mapped_column(words(ProjectState), default=ProjectState.WAITING)
    position: Mapped[int]
    started_on: Mapped[date | None]
    closed_on: Mapped[date | None]
    closing_note: Mapped[str] = mapped_column(Text, default="")
    note: Mapped[str] = mapped_column(Text, default="")


class Stage(StrEnum):
    """The stages of a project, in order."""

    PLAN = "plan"
    PAIR = "pair"
    RAISE = "raise"
    CHOOSE = "choose"
    REHOME = "rehome"
    CLOSE = "close"


class ProjectCheck(Owned, Base):
    """One line of a project's checklist."""

    __tablename__ = "project_check"
    __table_args__ = owned_by(link("project_id", "project"))

    project_id: Mapped[int] = mapped_column(index=True)
    stage: Mapped[Stage] = mapped_column(words(Stage))
    words: Mapped[str] = mapped_column(String(160))
    position: Mapped[int]
    done_on: Mapped[date | None]


class MoneyKind(StrEnum):
    """Which way money went."""

    COST = "cost"
    INCOME = "income"


class ProjectMoney(Owned, Base):
    """What a project cost or brought in, in hundredths of the fishroom's money."""

    __tablename__ = "project_money"
    __table_args__ = owned_by(
        link("project_id", "project"), CheckConstraint("hundredths > 0", name="some_money")
    )

    project_id: Mapped[int] = mapped_column(index=True)
    on: Mapped[date]
    kind: Mapped[MoneyKind] = mapped_column(words(MoneyKind))
    hundredths: Mapped[int]
    words: Mapped[str] = mapped_column(String(160))
