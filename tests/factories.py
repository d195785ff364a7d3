"""Ready-made records for tests, made through the services as a keeper would."""

from datetime import date, timedelta
from typing import Any

from app.core.species import SPECIES
from app.services import substances, tanks, waters
from app.services.journal import Entry
from app.services.stays import place
from app.services.substances import NewSubstance
from app.services.waters import NewWater
from app.store.actor import Actor
from app.store.batches import Batch
from app.store.fish import Fish, Origin, Sex, WithMales
from app.store.lines import Line
from app.store.session import RoomSession, rows
from app.store.tanks import Section, Tank
from app.store.waters import SourceWater, Substance, SubstanceKind


class Made:
    """Makes what a test needs in one fishroom; anything not said is plausible."""

    def __init__(self, session: RoomSession, actor: Actor) -> None:
        """Remember where and who."""
        self.session, self.actor = session, actor
        self.number = 0

    def _next(self) -> int:
        self.number += 1
        return self.number

    def tank(self, name: str = "", litres: float = 54.0, **more: Any) -> Tank:  # noqa: ANN401
        """Return a tank."""
        name = name or f"T{self._next()}"
        return tanks.add_tank(self.session, self.actor, name=name, litres=litres, **more)

    def section(self, tank: Tank | None = None) -> Section:
        """Return the first section of a tank, a new one unless given."""
        tank = tank or self.tank()
        return rows(self.session, Section, Section.tank_id == tank.id)[0]

    def line(self, species: str = "guppy", name: str = "") -> Line:
        """Return a line."""
        assert species in SPECIES
        entry = Entry(self.session, self.actor, "made for a test")
        return entry.add(Line(name=name or f"Line {self._next()}", species=species, note=""))

    def fish(
        self,
        sex: Sex,
        line: Line | None = None,
        section: Section | None = None,
        **more: Any,  # noqa: ANN401
    ) -> Fish:
        """Return a grown fish that stands somewhere."""
        entry = Entry(self.session, self.actor, "made for a test")
        line = line or self.line()
        arrived = more.pop("arrived_on", self.actor.today - timedelta(days=60))
        values: dict[str, Any] = {
            "code": f"F{self._next()}",
            "origin": Origin.BOUGHT,
            "with_males": WithMales.NO,
            "born_on": self.actor.today - timedelta(days=240),
            "arrived_on": arrived,
        }
        fish = entry.add(Fish(line_id=line.id, sex=sex, **{**values, **more}))
        place(entry, (section or self.section()).id, arrived, fish=fish)
        return fish

    def dam(self, line: Line | None = None, section: Section | None = None, **more: Any) -> Fish:  # noqa: ANN401
        """Return a grown virgin female."""
        return self.fish(Sex.FEMALE, line, section, **more)

    def sire(self, line: Line | None = None, section: Section | None = None, **more: Any) -> Fish:  # noqa: ANN401
        """Return a grown male."""
        return self.fish(Sex.MALE, line, section, **more)

    def batch(
        self, line: Line | None = None, section: Section | None = None, number: int = 20, age_days: int = 30
    ) -> Batch:
        """Return a batch of juveniles."""
        entry = Entry(self.session, self.actor, "made for a test")
        born = self.actor.today - timedelta(days=age_days)
        batch = entry.add(
            Batch(
                line_id=(line or self.line()).id,
                code=f"B{self._next()}",
                born_from=born,
                born_to=born,
                started_on=born,
                start_count=number,
                logged_at=self.actor.now,
            )
        )
        place(entry, (section or self.section()).id, born, batch=batch)
        return batch

    def water(self, name: str = "", salinity_g_per_l: float | None = 0.0, **more: Any) -> SourceWater:  # noqa: ANN401
        """Return a source water, without salt unless said; what else it holds is not known unless said."""
        told = NewWater(name or f"Water {self._next()}", salinity_g_per_l, **more)
        return waters.add_water(self.session, self.actor, told)

    def substance(
        self,
        name: str = "table salt",
        kind: SubstanceKind = SubstanceKind.SALT,
        **more: Any,  # noqa: ANN401
    ) -> Substance:
        """Return a substance, table salt unless said."""
        return substances.add_substance(self.session, self.actor, NewSubstance(name, kind, **more))

    def days_ago(self, days: int) -> date:
        """Return the day so long before the test's today."""
        return self.actor.today - timedelta(days=days)
