"""What was done to one tank's water, newest first: changes, top-ups, doses and tests, with what each made."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.quantities import show_share, show_volume
from app.core.water.comparing import disagreement
from app.core.water.ledger import Changed, Dosed, Held, Key, Measured, Point, ToppedUp
from app.core.water.levels import show_amount, show_held, show_level
from app.core.wording import begun, listed
from app.queries.evidence.waters import KEPT as FOLLOWED
from app.queries.history import Event, act_of_rows, undoable
from app.queries.ledger import TankLedger
from app.queries.quantities import say_reading
from app.store.actor import Actor
from app.store.journal import Act
from app.store.readings import Quantity, Reading, by_hand
from app.store.session import rows
from app.store.waters import Dose, Poured, SourceWater, WaterChange, WaterMove

SHOWN = 40
"""So many entries, the newest, unless all are asked for."""
SAME = 0.005
"""A level that moves by less is not told."""
OF_WATER = tuple(quantity for quantity in Quantity if quantity is not Quantity.TEMPERATURE)


@dataclass(frozen=True, slots=True)
class Done:
    """The rows behind a tank's ledger, and the acts that made them."""

    doses: Sequence[Dose]
    changes: Sequence[WaterChange]
    tests: Sequence[Reading]
    waters: Mapping[int, tuple[str, ...]]
    acts: Mapping[tuple[str, int], Act]


def done_in(session: Session, actor: Actor, tank_id: int) -> Done:
    """Read everything that was done to one tank's water by hand."""
    doses = rows(session, Dose, Dose.tank_id == tank_id)
    changes = rows(session, WaterChange, WaterChange.tank_id == tank_id)
    tests = rows(
        session,
        Reading,
        Reading.id.in_(by_hand([tank_id], OF_WATER, actor.fishroom_id)),
    )
    return Done(
        doses, changes, tests, _waters(session, actor, tank_id), _acts(session, actor, doses, changes, tests)
    )


def _waters(session: Session, actor: Actor, tank_id: int) -> dict[int, tuple[str, ...]]:
    statement = (
        select(Poured.change_id, SourceWater.name)
        .join(SourceWater, SourceWater.id == Poured.source_id)
        .join(WaterChange, WaterChange.id == Poured.change_id)
        .where(Poured.fishroom_id == actor.fishroom_id, WaterChange.tank_id == tank_id)
        .order_by(Poured.id)
    )
    names: dict[int, list[str]] = defaultdict(list)
    for change_id, name in session.execute(statement):
        names[change_id].append(name)
    return {change_id: tuple(found) for change_id, found in names.items()}


def _acts(
    session: Session,
    actor: Actor,
    doses: Sequence[Dose],
    changes: Sequence[WaterChange],
    tests: Sequence[Reading],
) -> dict[tuple[str, int], Act]:
    """Return the acts that made the newest rows; nobody takes back what is years old from here."""
    found: dict[tuple[str, int], int] = {}
    for table, made in (("dose", doses), ("water_change", changes), ("reading", tests)):
        newest = sorted((one.id for one in made), reverse=True)[: 4 * SHOWN]
        found |= {(table, row): act for row, act in act_of_rows(session, actor, table, newest).items()}
    acts = {act.id: act for act in rows(session, Act, Act.id.in_(set(found.values())))}
    return {row: acts[act_id] for row, act_id in found.items()}


def water_history(
    actor: Actor, ledger: TankLedger, done: Done, *, every: bool = False
) -> tuple[tuple[Event, ...], bool]:
    """Tell it, and say whether there is more."""
    telling = _Telling(actor, ledger, done)
    told = [*telling.doses(), *telling.changes(), *telling.tests()]
    told.sort(key=lambda one: one[0], reverse=True)
    events = [event for _, event in told]
    return (tuple(events), False) if every else (tuple(events[:SHOWN]), len(events) > SHOWN)


Told = tuple[tuple[datetime, int], Event]


class _Telling:
    """Turns rows into entries, with the levels that each moved."""

    def __init__(self, actor: Actor, ledger: TankLedger, done: Done) -> None:
        self.actor, self.ledger, self.done = actor, ledger, done
        self.zone = ZoneInfo(actor.zone)
        self.places = {(type(event), event.ref): place for place, event in enumerate(ledger.events)}

    def doses(self) -> Iterable[Told]:
        for dose in self.done.doses:
            substance = self.ledger.substances[dose.substance_id]
            words = f"{show_amount(dose.amount, substance.measure)} {substance.name} added"
            yield self._entry(dose.dosed_at, words, dose.note, ("dose", dose.id), (Dosed, dose.id))

    def changes(self) -> Iterable[Told]:
        for change in self.done.changes:
            made = Changed if change.kind is WaterMove.CHANGE else ToppedUp
            yield self._entry(
                change.done_at,
                self._change(change),
                change.note,
                ("water_change", change.id),
                (made, change.id),
            )

    def _change(self, change: WaterChange) -> str:
        volume = show_volume(change.litres, self.actor.units)
        names = self.done.waters.get(change.id, ())
        with_what = f" with {listed(list(names))}" if names else ", water not told"
        if change.kind is WaterMove.TOP_UP:
            return f"Topped up by {volume}{with_what}"
        return f"{show_share(change.litres / self.ledger.litres)} changed ({volume}){with_what}"

    def tests(self) -> Iterable[Told]:
        """Tell the values of one test together."""
        together: dict[tuple[datetime, int | None], list[Reading]] = defaultdict(list)
        for test in self.done.tests:
            act = self.done.acts.get(("reading", test.id))
            together[test.taken_at, act.id if act is not None else None].append(test)
        for (at, _), tests in together.items():
            said = listed([say_reading(one.quantity, one.value, self.actor.units) for one in tests])
            yield self._entry(
                at,
                f"Tested: {said}",
                self._beside(tests),
                ("reading", tests[0].id),
                (Measured, tests[0].id),
            )

    def _beside(self, tests: Iterable[Reading]) -> str:
        """Say what the ledger expected of each value that it follows, and where the two part."""
        expected, words = [], []
        for one in tests:
            held, place = FOLLOWED.get(one.quantity), self.places.get((Measured, one.id))
            if held is None or held is Held.NITRATE or place is None:
                continue
            point = self.ledger.accounts[held].points[place]
            if point.before is None:
                continue
            expected.append(f"{held.value} {show_held(held, point.before)}")
            apart = "" if one.trusted else disagreement(held, one.value, point.before)
            words += [f"{begun(held.value)}: {apart}"] if apart else []
        said = [f"By the ledger: {listed(expected)}."] if expected else []
        followed = ["The ledger follows it."] if any(one.trusted for one in tests) else []
        return " ".join((*said, *words, *followed))

    def _entry(
        self,
        at: datetime,
        words: str,
        note: str,
        row: tuple[str, int],
        event: tuple[type, int],
    ) -> Told:
        place = self.places.get(event)
        moved = self._moved(place) if place is not None and event[0] is not Measured else []
        detail = " ".join(part for part in (f"{', '.join(moved)}." if moved else "", note) if part)
        day = at.astimezone(self.zone).date()
        return (at, row[1]), Event(day, words, detail, "water", None, self._undo(row))

    def _moved(self, place: int) -> list[str]:
        """Return such as ``salt 3 → 2.1 g/L`` for each level that an event moved."""
        found = []
        for key, account in self.ledger.accounts.items():
            point = account.points[place]
            if key is not Held.NITRATE and _moves(point):
                found.append(self._step(key, point))
        return found

    def _step(self, key: Key, point: Point) -> str:
        if isinstance(key, Held):
            return f"{key.value} {_arrow(point, lambda level: show_held(key, level))}"
        substance = self.ledger.substances[key]
        return f"{substance.name} {_arrow(point, lambda level: show_level(level, substance.measure))}"

    def _undo(self, row: tuple[str, int]) -> int | None:
        return undoable(self.actor, self.done.acts.get(row))


def _moves(point: Point) -> bool:
    if point.before is None or point.after is None:
        return point.before is not point.after
    return abs(point.after - point.before) > SAME * max(point.after, point.before)


def _arrow(point: Point, show: Callable[[float], str]) -> str:
    """Return before and after, the unit once."""
    before = "not known" if point.before is None else show(point.before)
    after = "not known" if point.after is None else show(point.after)
    figure, _, unit = before.partition(" ")
    if point.before is not None and point.after is not None and after.endswith(unit):
        before = figure
    return f"{before} → {after}"
