"""Breeding projects: aim, line, wanted numbers, tank, and place in the queue."""

from datetime import date
from enum import StrEnum

from sqlalchemy import String, Text
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
    state: Mapped[ProjectState] = mapped_column(words(ProjectState), default=ProjectState.WAITING)
    position: Mapped[int]
    started_on: Mapped[date | None]
    closed_on: Mapped[date | None]
    closing_note: Mapped[str] = mapped_column(Text, default="")
    note: Mapped[str] = mapped_column(Text, default="")
