"""Water changes and top-ups: how much, and which waters went in."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from math import isfinite

from sqlalchemy.orm import Session

from app.core.quantities import show_share, show_volume
from app.core.wording import day_words, listed
from app.services.journal import Entry
from app.services.moments import check_moment
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.session import find
from app.store.tanks import Tank
from app.store.waters import Poured, SourceWater, WaterChange, WaterMove

MOST_WATERS = 4


@dataclass(frozen=True, slots=True)
class Pour:
    """One water of a blend; ``parts`` are in proportion to the others' (1 and 3, or litres)."""

    source_id: int
    parts: float = 1.0


def log_change(
    session: Session,
    actor: Actor,
    tank_id: int,
    pours: Sequence[Pour] = (),
    *,
    litres: float | None = None,
    fraction: float | None = None,
    at: datetime | None = None,
    note: str = "",
) -> WaterChange:
    """Log a change by volume or by share; without a water nothing is known of what went in."""
    actor.must_log()
    tank = find(session, Tank, tank_id)
    volume = _volume(tank, litres, fraction)
    entry, change = _log(session, actor, tank, pours, WaterMove.CHANGE, volume, at, note)
    share = show_share(volume / tank.litres)
    entry.tell(
        f"tank:{tank.id}",
        f"{tank.name}: {share} ({show_volume(volume, actor.units)}) changed{_with(session, pours)}",
    )
    return change


def log_top_up(
    session: Session,
    actor: Actor,
    tank_id: int,
    pours: Sequence[Pour] = (),
    *,
    litres: float,
    at: datetime | None = None,
    note: str = "",
) -> WaterChange:
    """Log water put in for what evaporated; nothing else went out."""
    actor.must_log()
    tank = find(session, Tank, tank_id)
    volume = _volume(tank, litres, None)
    entry, change = _log(session, actor, tank, pours, WaterMove.TOP_UP, volume, at, note)
    entry.tell(
        f"tank:{tank.id}",
        f"{tank.name}: topped up by {show_volume(volume, actor.units)}{_with(session, pours)}",
    )
    return change


def add_change(
    entry: Entry,
    tank: Tank,
    pours: Sequence[Pour],
    litres: float,
    at: datetime,
    *,
    kind: WaterMove = WaterMove.CHANGE,
    note: str = "",
) -> WaterChange:
    """Put a change that was checked into the books, within an act."""
    change = entry.add(WaterChange(tank_id=tank.id, done_at=at, kind=kind, litres=litres, note=note.strip()))
    whole = sum(pour.parts for pour in pours)
    for pour in pours:
        entry.add(Poured(change_id=change.id, source_id=pour.source_id, litres=litres * pour.parts / whole))
    return change


def _log(
    session: Session,
    actor: Actor,
    tank: Tank,
    pours: Sequence[Pour],
    kind: WaterMove,
    litres: float,
    at: datetime | None,
    note: str,
) -> tuple[Entry, WaterChange]:
    moment = at or actor.now
    check_moment(actor, tank, moment)
    check_pours(session, actor, pours, moment)
    entry = Entry(session, actor, "top up" if kind is WaterMove.TOP_UP else "change water")
    return entry, add_change(entry, tank, pours, litres, moment, kind=kind, note=note)


def check_pours(session: Session, actor: Actor, pours: Sequence[Pour], at: datetime) -> None:
    """Refuse waters that were put away, poured twice, or in no amount."""
    on = actor.day(at)
    if len(pours) > MOST_WATERS:
        raise Refused(f"At most {MOST_WATERS} waters make a blend.", "source_id")
    if len({pour.source_id for pour in pours}) < len(pours):
        raise Refused("One water stands there twice. Give each once, with its part.", "source_id")
    for pour in pours:
        water = find(session, SourceWater, pour.source_id)
        if not (isfinite(pour.parts) and pour.parts > 0):
            raise Refused(f"How much of it was {water.name}? Give more than 0.", "parts")
        if water.retired_on is not None and on >= water.retired_on:
            raise Refused(
                f"{water.name} was put away on {day_words(water.retired_on)}. Choose another.", "source_id"
            )


def _volume(tank: Tank, litres: float | None, fraction: float | None) -> float:
    """Return litres; refuse none, both, or more than the tank holds."""
    if (litres is None) == (fraction is None):
        raise Refused("How much was it? Give a share such as 30 % or a volume.", "volume")
    if fraction is not None and not 0 < fraction <= 1:
        raise Refused(f"{fraction * 100:g} % cannot be changed; give 1 to 100 %.", "volume")
    volume = litres if litres is not None else tank.litres * (fraction or 0.0)
    if not (isfinite(volume) and volume > 0):
        raise Refused("How much was it? Give more than 0.", "volume")
    if volume > tank.litres * (1 + 1e-9):
        raise Refused(f"{volume:g} L is more than {tank.name} holds ({tank.litres:g} L).", "volume")
    return min(volume, tank.litres)


def _with(session: Session, pours: Sequence[Pour]) -> str:
    names = [find(session, SourceWater, pour.source_id).name for pour in pours]
    return f" with {listed(names)}" if names else ""
