"""What every act of the story is played on: the session, the day, and who is meant by a code."""

from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from sqlalchemy import ColumnElement
from sqlalchemy.orm import Session

from app.store.actor import Actor
from app.store.base import Owned
from app.store.batches import Batch
from app.store.cases import Case
from app.store.fish import Fish
from app.store.lines import Line
from app.store.projects import Project
from app.store.session import rows
from app.store.tanks import Section, Tank
from app.store.waters import SourceWater, Substance
from seed_demo.script import Row

EVENING = time(18)


@dataclass(frozen=True, slots=True)
class Stage:
    """One day of the story; ``known`` holds the rows that codes and names stand for."""

    session: Session
    actor: Actor
    last: date
    known: dict[tuple[type[Owned], str], Owned] = field(default_factory=dict, repr=False)

    def on(self, ago: int, actor: Actor, end: datetime) -> "Stage":
        """Return the stage on an evening ``ago`` days before the last, as ``actor`` sees it."""
        evening = datetime.combine(self.day(ago), EVENING, ZoneInfo(actor.zone))
        return replace(self, actor=replace(actor, now=min(evening, end)))

    def day(self, ago: int) -> date:
        """Return the date ``ago`` days before the last day."""
        return self.last - timedelta(days=ago)

    def day_or_none(self, row: Row, name: str) -> date | None:
        """Return the date in a cell of days before the last, or None."""
        ago = row.whole_or_none(name)
        return None if ago is None else self.day(ago)

    def fish(self, code: str) -> int:
        """Return the number of a fish."""
        return self._found(Fish, Fish.code == code, code)

    def batch(self, code: str) -> int:
        """Return the number of a batch."""
        return self._found(Batch, Batch.code == code, code)

    def is_fish(self, code: str) -> bool:
        """Say whether a code is a fish's rather than a batch's."""
        return (Fish, code) in self.known or bool(rows(self.session, Fish, Fish.code == code))

    def line(self, name: str) -> int:
        """Return the number of a line."""
        return self._found(Line, Line.name == name, name)

    def tank(self, name: str) -> int:
        """Return the number of a tank."""
        return self._found(Tank, Tank.name == name, name)

    def water(self, name: str) -> int:
        """Return the number of a source water."""
        return self._found(SourceWater, SourceWater.name == name, name)

    def substance(self, name: str) -> int:
        """Return the number of a substance."""
        return self._found(Substance, Substance.name == name, name)

    def project(self, aim: str) -> int:
        """Return the number of a project by its aim."""
        return self._found(Project, Project.aim == aim, aim)

    def case(self, title: str) -> int:
        """Return the number of a case by its title."""
        return self._found(Case, Case.title == title, title)

    def section(self, place: str) -> int:
        """Return the number of a section from ``A3`` (its only one) or ``A3 B``."""
        tank, _, name = place.partition(" ")
        here = (Section.tank_id == self.tank(tank)) & (Section.name == (name or "main"))
        return self._found(Section, here, place)

    def section_or_none(self, place: str) -> int | None:
        """Return the number of a section, or None where no place is named."""
        return self.section(place) if place else None

    def _found(self, model: type[Owned], meant: ColumnElement[bool], name: str) -> int:
        if (model, name) not in self.known:
            found = rows(self.session, model, meant)
            if not found:
                raise LookupError(f"the story speaks of {name} before it is there")
            self.known[model, name] = found[0]
        return self.known[model, name].id
