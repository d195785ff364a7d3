"""Rounds: the tanks in walking order, and what each needs today."""

from collections import defaultdict
from dataclasses import dataclass

from sqlalchemy.orm import Session

from app.core.reminders import Reminder, ahead, due
from app.core.ribbon import Ribbon
from app.queries.facts import Morning, morning
from app.queries.occupants import Occupant
from app.queries.tanks import TankShown, tanks_page
from app.store.actor import Actor

AHEAD_DAYS = 60
MANY = 20
"""From so many tanks on, one line each is the better walk (judgement)."""
ROUTINE = ("count_due", "length_check_due")


@dataclass(frozen=True, slots=True)
class DueShown:
    """One thing to do now, with its ribbon where it has one."""

    reminder: Reminder
    ribbon: Ribbon | None


@dataclass(frozen=True, slots=True)
class TankRound:
    """One tank on the walk: what it needs today, and what comes next there."""

    tank: TankShown
    due: tuple[DueShown, ...]
    next: Reminder | None

    @property
    def place(self) -> str:
        """The id of its entry on the page."""
        return f"tank-{self.tank.id}"

    @property
    def urgent(self) -> bool:
        """Whether something cannot wait for tomorrow."""
        return any(one.reminder.urgent for one in self.due)

    @property
    def occupants(self) -> tuple[Occupant, ...]:
        """Who stands in any of its sections."""
        return tuple(one for section in self.tank.sections for one in section.occupants)

    @property
    def first(self) -> tuple[DueShown, ...]:
        """What stands on its own, in the order of the rules."""
        return tuple(one for one in self.due if one.reminder.rule not in ROUTINE)

    @property
    def counts(self) -> tuple[DueShown, ...]:
        """Batches to count, as one list."""
        return self._routine("count_due")

    @property
    def checks(self) -> tuple[DueShown, ...]:
        """Batches to measure, as one list."""
        return self._routine("length_check_due")

    def _routine(self, rule: str) -> tuple[DueShown, ...]:
        return tuple(one for one in self.due if one.reminder.rule == rule)


@dataclass(frozen=True, slots=True)
class RoundsPage:
    """Today's walk: tanks with something due, tanks without, and what belongs to no tank."""

    tanks: tuple[TankRound, ...]
    elsewhere: tuple[DueShown, ...]

    @property
    def busy(self) -> tuple[TankRound, ...]:
        """Tanks that need something today."""
        return tuple(one for one in self.tanks if one.due)

    @property
    def quiet(self) -> tuple[TankRound, ...]:
        """Tanks that need nothing beyond food."""
        return tuple(one for one in self.tanks if not one.due)

    @property
    def places(self) -> frozenset[str]:
        """The ids of all entries that this page can show."""
        return frozenset(one.place for one in self.tanks) | {"tank-0"}

    @property
    def many(self) -> bool:
        """Whether there are so many tanks that one line each is shown unless asked otherwise."""
        return len(self.tanks) > MANY

    @property
    def fish(self) -> bool:
        """Whether anyone stands anywhere."""
        return any(one.occupants for one in self.tanks) or bool(self.elsewhere)

    @property
    def count(self) -> int:
        """How many things are due."""
        return sum(len(one.due) for one in self.tanks) + len(self.elsewhere)


def rounds_page(session: Session, actor: Actor) -> RoundsPage:
    """Reckon the walk."""
    today = morning(session, actor)
    by_tank: dict[int | None, list[DueShown]] = defaultdict(list)
    for reminder in due(today.facts, today.answers):
        by_tank[reminder.tank_id].append(DueShown(reminder, _ribbon(today, reminder)))
    tanks = tanks_page(session, actor).tanks
    known = {tank.id for tank in tanks}
    later = _later(today)
    return RoundsPage(
        tuple(TankRound(tank, tuple(by_tank.get(tank.id, ())), later.get(tank.id)) for tank in tanks),
        tuple(one for tank_id, found in by_tank.items() if tank_id not in known for one in found),
    )


def _later(today: Morning) -> dict[int | None, Reminder]:
    """Return the first thing that falls due at each tank after today."""
    coming = ahead(today.facts, today.answers, AHEAD_DAYS)
    found: dict[int | None, Reminder] = {}
    for reminder in coming:
        if reminder.due > today.facts.today:
            found.setdefault(reminder.tank_id, reminder)
    return found


def _ribbon(today: Morning, reminder: Reminder) -> Ribbon | None:
    """Draw the window a reminder is about."""
    if reminder.subject.kind == "fish":
        outlook = today.births.get(reminder.subject.id)
        return outlook.ribbon if outlook is not None and reminder.stage == "carrying" else None
    batch = today.batches.get(reminder.subject.id)
    if batch is None:
        return None
    if reminder.stage == "sexing":
        return batch.sexing_ribbon
    return batch.ready_ribbon if reminder.stage == "ready" else None
