"""The almanac by tank: stays, windows, plans and projects as lanes along one axis of dates."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.durations import settled
from app.core.lanes import Axis, Lane, LaneWindow, Row, axis, lane, paper, row, stay
from app.core.lanes import Stay as LaneStay
from app.core.ribbon import ribbon_from_window
from app.core.wording import day_words, span_words
from app.queries.almanac import Address, Ahead, entries
from app.queries.facts import Morning, morning
from app.queries.running_projects import Running, running_projects
from app.store.actor import Actor
from app.store.session import rows
from app.store.stays import Stay
from app.store.tanks import Tank

Who = tuple[str, int]
NAMED = ("plan", "project")
"""Whose name is too long for the margin: there its kind stands, and the name beside the drawing."""


@dataclass(frozen=True, slots=True)
class LanesPage:
    """The almanac by tank, along one axis of dates."""

    axis: Axis
    lanes: tuple[Lane, ...]
    weeks: int

    @property
    def paper(self) -> int:
        """How far it is shrunk to stand on one page of paper."""
        return paper(self.lanes)


def lanes_page(session: Session, actor: Actor, weeks: int, address: Address) -> LanesPage:
    """Lay the tanks out as lanes, a week back and ``weeks`` ahead."""
    along = axis(actor.today - timedelta(days=7), actor.today + timedelta(weeks=weeks), actor.today)
    today = morning(session, actor)
    running = running_projects(session, actor, today.births, today.batches)
    stays = {**_stays(session, actor, along, running), **_planned(today, along)}
    rows_of = _rows(today, entries(today, actor.today, weeks * 7), stays, along, address)
    for tank_id, one in _running(running, along, actor.today, address):
        rows_of.setdefault(tank_id, []).append(one)
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
    today: Morning, ahead: list[Ahead], stays: Mapping[Who, list[LaneStay]], along: Axis, address: Address
) -> dict[int, list[Row]]:
    """Return a row for each fish with a window ahead, each batch alive, and what is planned, by tank."""
    windows: dict[Who, list[LaneWindow]] = {}
    where: dict[Who, tuple[int, str]] = {}
    for outlook in today.batches.values():
        tank_id = today.batch_tanks.get(outlook.batch_id)
        if outlook.ledger.alive and tank_id is not None:
            where["batch", outlook.batch_id] = tank_id, outlook.case.batch.code
    for entry in ahead:
        who = (entry.subject.kind, entry.subject.id)
        named = entry.subject.kind in NAMED
        if entry.tank_id is not None:
            where[who] = entry.tank_id, entry.subject.kind if named else entry.subject.label
        word = entry.subject.label if named else entry.word
        drawn = LaneWindow(entry.draw(along.span), word, entry.title)
        windows.setdefault(who, []).append(drawn)
    found: dict[int, list[Row]] = {}
    for who, (tank_id, label) in where.items():
        one = row(along, label, address(*who), stays.get(who, ()), windows.get(who, ()))
        found.setdefault(tank_id, []).append(one)
    return found


def _running(
    running: Sequence[Running], along: Axis, today: date, address: Address
) -> Iterator[tuple[int, Row]]:
    """Give a row for each running project that has a tank: since when it runs, and when it is through."""
    for one in running:
        if one.tank_id is None:
            continue
        until = settled(one.until, today) if one.until is not None else None
        window, windows, since = until.window() if until is not None else None, [], one.since or along.start
        if until is not None and window is not None and window.start <= along.end:
            drawn = ribbon_from_window(window, today, until.quantile(0.5), span=along.span, stage="closed")
            windows.append(LaneWindow(drawn, one.aim, f"“{one.aim}” is through"))
        words = f"“{one.aim}” runs here since {day_words(since, today)}"
        end = window.end if window is not None else None
        stands = stay(along, max(since, along.start), end, "adult", words, one.aim)
        yield one.tank_id, row(along, "project", address("project", one.id), [stands], windows)


def _stays(
    session: Session, actor: Actor, along: Axis, running: Sequence[Running]
) -> dict[Who, list[LaneStay]]:
    """Return where every fish and batch stands now, from when, for which project, as the axis shows it."""
    aims = {batch_id: f", for “{one.aim}”" for one in running for batch_id in one.batches}
    statement = (
        select(Stay.fish_id, Stay.batch_id, Stay.from_on)
        .where(Stay.fishroom_id == actor.fishroom_id, Stay.to_on.is_(None), Stay.from_on <= along.end)
        .order_by(Stay.from_on, Stay.id)
    )
    found: dict[Who, list[LaneStay]] = {}
    for fish_id, batch_id, start in session.execute(statement):
        words = f"stands here since {day_words(start, actor.today)}{aims.get(batch_id or 0, '')}"
        kind, number, stage = (
            ("batch", batch_id, "growing") if fish_id is None else ("fish", fish_id, "adult")
        )
        if number is not None:
            one = stay(along, max(start, along.start), None, stage, words)
            found.setdefault((kind, number), []).append(one)
    return found


def _planned(today: Morning, along: Axis) -> dict[Who, list[LaneStay]]:
    """Return where each waiting project would stand, from its likely start to its likely end."""
    found: dict[Who, list[LaneStay]] = {}
    for one in today.planned:
        start, end = one.slot.starts, one.slot.ends
        if start is not None and start <= along.end:
            words = f"would take it {span_words(start, end, today.facts.today)}" if end else "would take it"
            found["project", one.id] = [stay(along, max(start, along.start), end, "waiting", words)]
    return found
