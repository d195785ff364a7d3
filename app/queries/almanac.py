"""The almanac: windows and dates ahead, by date and by tank."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.lanes import Axis, Lane, LaneWindow, Row, axis, lane, paper, row, stay
from app.core.lanes import Stay as LaneStay
from app.core.reminders import Subject
from app.core.ribbon import Ribbon, ribbon_from_cdf, ribbon_from_window
from app.core.windows import Window
from app.core.wording import day_words, in_ten, many, span_words, window_words
from app.queries.facts import Morning, morning
from app.queries.outlook import BatchOutlook, BirthOutlook, stepped
from app.store.actor import Actor
from app.store.batches import BatchSex
from app.store.session import rows
from app.store.stays import Stay
from app.store.tanks import Tank

Span = tuple[date, date]
Address = Callable[[str, int], str]
Who = tuple[str, int]
WORDS = {"carrying": "drop", "waiting": "later", "sexing": "sex", "ready": "rehome", "quarantine": "ends"}


@dataclass(frozen=True, slots=True)
class Ahead:
    """One window or date ahead; ``uid`` stays the same while it moves."""

    uid: str
    subject: Subject
    tank_id: int | None
    window: Window
    median: date | None
    title: str
    words: str
    stage: str
    draw: Callable[[Span | None], Ribbon]


@dataclass(frozen=True, slots=True)
class Month:
    """The entries of one month."""

    name: str
    entries: tuple[Ahead, ...]


@dataclass(frozen=True, slots=True)
class AlmanacPage:
    """What lies ahead, soonest first, and the names of the tanks."""

    entries: tuple[Ahead, ...]
    tanks: dict[int, str]
    until: date

    @property
    def months(self) -> tuple[Month, ...]:
        """The entries by the month in which they begin."""
        names: dict[str, list[Ahead]] = {}
        for entry in self.entries:
            names.setdefault(f"{entry.window.start:%B %Y}", []).append(entry)
        return tuple(Month(name, tuple(found)) for name, found in names.items())


@dataclass(frozen=True, slots=True)
class LanesPage:
    """The same by tank, along one axis of dates."""

    axis: Axis
    lanes: tuple[Lane, ...]
    weeks: int

    @property
    def paper(self) -> int:
        """How far it is shrunk to stand on one page of paper."""
        return paper(self.lanes)


def almanac_page(session: Session, actor: Actor, days: int = 365) -> AlmanacPage:
    """Return what lies ahead within ``days``."""
    names = {tank.id: tank.name for tank in rows(session, Tank)}
    return AlmanacPage(
        tuple(entries(morning(session, actor), actor.today, days)), names, actor.today + timedelta(days=days)
    )


def entries(today: Morning, on: date, days: int) -> list[Ahead]:
    """Return every window and date from now to ``days`` ahead, by when it begins."""
    found = [*_births(today, on), *_batches(today, on), *_quarantines(today)]
    last = on + timedelta(days=days)
    ahead = [entry for entry in found if entry.window.end >= on and entry.window.start <= last]
    return sorted(ahead, key=lambda entry: (entry.window.start, entry.window.end, entry.uid))


def _births(today: Morning, on: date) -> Iterator[Ahead]:
    for outlook in today.births.values():
        said, dam = outlook.forecast, outlook.case.dam
        about = Subject("fish", dam.id, dam.code)
        tank_id = today.fish_tanks.get(dam.id)
        if said.window_80 is not None and said.median is not None:
            words = (
                f"{dam.code} may drop {window_words(said.window_80, on)}; carrying: {in_ten(said.p_carrying)}"
            )
            yield Ahead(
                f"birth-{outlook.carrying_id}", about, tank_id, said.window_80, said.median,
                f"{dam.code}: birth window", words, "carrying", _drawn_birth(outlook, on),
            )  # fmt: skip
        for number, window in enumerate(said.later_drops, start=2):
            yield Ahead(
                f"birth-{outlook.carrying_id}-{number}", about, tank_id, window, None,
                f"{dam.code}: drop after that", f"{dam.code}, a later drop: {window_words(window, on)}",
                "waiting", _drawn_window(window, on, "waiting"),
            )  # fmt: skip


def _drawn_birth(outlook: BirthOutlook, on: date) -> Callable[[Span | None], Ribbon]:
    said = outlook.forecast
    window, median, chance = said.window_80, said.median, stepped(said.cdf)
    assert window is not None and median is not None  # noqa: S101, PT018 - only dated forecasts come here
    return lambda span: ribbon_from_cdf(chance, window, median, on, span=span, stage="carrying")


def _drawn_window(
    window: Window, on: date, stage: str, median: date | None = None
) -> Callable[[Span | None], Ribbon]:
    return lambda span: ribbon_from_window(window, on, median, span=span, stage=stage)


def _drawn_sexing(outlook: BatchOutlook, on: date) -> Callable[[Span | None], Ribbon]:
    return lambda span: (
        ribbon_from_window(outlook.sexing.window, on, span=span, stage="sexing")
        if span
        else outlook.sexing_ribbon
    )


def _batches(today: Morning, on: date) -> Iterator[Ahead]:
    for outlook in today.batches.values():
        if outlook.ledger.alive:
            yield from _of_batch(outlook, today.batch_tanks.get(outlook.batch_id), on)


def _of_batch(outlook: BatchOutlook, tank_id: int | None, on: date) -> Iterator[Ahead]:
    batch, sexing, ready = outlook.case.batch, outlook.sexing, outlook.ready
    about = Subject("batch", batch.id, batch.code)
    if batch.sex is BatchSex.MIXED:
        yield Ahead(
            f"sexing-{batch.id}", about, tank_id, sexing.window, None, f"{batch.code}: sex and split",
            f"{batch.code}: sex and split {span_words(sexing.window.start, sexing.split_by, on)}",
            "sexing", _drawn_sexing(outlook, on),
        )  # fmt: skip
    if ready.window_80 is not None:
        fish = many(outlook.ledger.alive, "fish", "fish")
        yield Ahead(
            f"ready-{batch.id}", about, tank_id, ready.window_80, ready.median, f"{batch.code}: rehoming",
            f"{batch.code}, {fish}: ready to rehome {window_words(ready.window_80, on)}",
            "ready", _drawn_window(ready.window_80, on, "ready", ready.median),
        )  # fmt: skip


def _quarantines(today: Morning) -> Iterator[Ahead]:
    for fish in today.facts.quarantined:
        end = Window(fish.quarantine_until, fish.quarantine_until, 1.0)
        yield Ahead(
            f"quarantine-{fish.id}", Subject("fish", fish.id, fish.code), fish.tank_id, end, None,
            f"{fish.code}: quarantine ends", f"Quarantine of {fish.code} ends: look, then decide",
            "quarantine", _drawn_window(end, today.facts.today, "quarantine"),
        )  # fmt: skip


def lanes_page(session: Session, actor: Actor, weeks: int, address: Address) -> LanesPage:
    """Lay the tanks out as lanes, a week back and ``weeks`` ahead."""
    along = axis(actor.today - timedelta(days=7), actor.today + timedelta(weeks=weeks), actor.today)
    today = morning(session, actor)
    rows_of = _rows(
        today, entries(today, actor.today, weeks * 7), _stays(session, actor, along), along, address
    )
    standing = {*today.fish_tanks.values(), *today.batch_tanks.values()}
    tanks = rows(session, Tank, Tank.closed_on.is_(None), order=(Tank.position, Tank.id))
    lanes = (
        lane(
            tank.name,
            "nothing ahead" if tank.id in standing else "free",
            address("tank", tank.id),
            rows_of.get(tank.id, ()),
        )
        for tank in tanks
    )
    return LanesPage(along, tuple(lanes), weeks)


def _rows(
    today: Morning, ahead: list[Ahead], stays: dict[Who, list[LaneStay]], along: Axis, address: Address
) -> dict[int, list[Row]]:
    """Return a row for each fish with a window ahead and each batch alive, by the tank it stands in."""
    windows: dict[Who, list[LaneWindow]] = {}
    where: dict[Who, tuple[int, str]] = {}
    for outlook in today.batches.values():
        tank_id = today.batch_tanks.get(outlook.batch_id)
        if outlook.ledger.alive and tank_id is not None:
            where["batch", outlook.batch_id] = tank_id, outlook.case.batch.code
    for entry in ahead:
        who = (entry.subject.kind, entry.subject.id)
        if entry.tank_id is not None:
            where[who] = entry.tank_id, entry.subject.label
        drawn = LaneWindow(entry.draw(along.span), WORDS[entry.stage], entry.title)
        windows.setdefault(who, []).append(drawn)
    found: dict[int, list[Row]] = {}
    for who, (tank_id, label) in where.items():
        one = row(along, label, address(*who), stays.get(who, ()), windows.get(who, ()))
        found.setdefault(tank_id, []).append(one)
    return found


def _stays(session: Session, actor: Actor, along: Axis) -> dict[Who, list[LaneStay]]:
    """Return where every fish and batch stands now, from when, as the axis shows it."""
    statement = (
        select(Stay.fish_id, Stay.batch_id, Stay.from_on)
        .where(Stay.fishroom_id == actor.fishroom_id, Stay.to_on.is_(None), Stay.from_on <= along.end)
        .order_by(Stay.from_on, Stay.id)
    )
    found: dict[Who, list[LaneStay]] = {}
    for fish_id, batch_id, start in session.execute(statement):
        words = f"stands here since {day_words(start, actor.today)}"
        kind, number, stage = (
            ("batch", batch_id, "growing") if fish_id is None else ("fish", fish_id, "adult")
        )
        if number is not None:
            one = stay(along, max(start, along.start), None, stage, words)
            found.setdefault((kind, number), []).append(one)
    return found
