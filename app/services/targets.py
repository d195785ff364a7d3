"""What the keeper wants the water to be, for a line or one tank."""

from dataclasses import dataclass

from sqlalchemy.orm import Session

from app.core.water.targets import Range
from app.queries.quantities import KEPT
from app.queries.targets import range_words
from app.services.journal import Entry
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.journal import Act
from app.store.lines import Line
from app.store.readings import Quantity
from app.store.session import find, rows
from app.store.tanks import Tank
from app.store.waters import WaterTarget


@dataclass(frozen=True, slots=True)
class For:
    """Whom a target is for: a line, or a tank."""

    line_id: int | None = None
    tank_id: int | None = None


def choose_target(
    session: Session, actor: Actor, whom: For, quantity: Quantity, low: float | None, high: float | None
) -> WaterTarget:
    """Set a range for a line or a tank; it replaces the one that stood."""
    actor.must_manage()
    subject, name = _whom(session, whom)
    _check(quantity, low, high)
    there = rows(
        session,
        WaterTarget,
        WaterTarget.line_id == whom.line_id
        if whom.line_id is not None
        else WaterTarget.tank_id == whom.tank_id,
        WaterTarget.quantity == quantity,
    )
    entry = Entry(session, actor, "choose target")
    if there:
        entry.change(there[0], low=low, high=high)
        kept = there[0]
    else:
        kept = entry.add(
            WaterTarget(line_id=whom.line_id, tank_id=whom.tank_id, quantity=quantity, low=low, high=high)
        )
    said = range_words(quantity, Range(low, high), actor.units)
    entry.tell(subject, f"{name}: {KEPT[quantity].title} wanted {said}")
    return kept


def _whom(session: Session, whom: For) -> tuple[str, str]:
    if (whom.line_id is None) == (whom.tank_id is None):
        raise Refused("For which line or tank?", "whom")
    if whom.line_id is not None:
        line = find(session, Line, whom.line_id)
        return f"line:{line.id}", line.name
    tank = find(session, Tank, whom.tank_id)
    return f"tank:{tank.id}", tank.name


def _check(quantity: Quantity, low: float | None, high: float | None) -> None:
    kept = KEPT[quantity]
    if low is None and high is None:
        raise Refused("Give the lowest or the highest value, or both.", "low")
    for value, field in ((low, "low"), (high, "high")):
        if value is not None and not kept.holds(value):
            raise Refused(
                f"{value:g} cannot be; give {kept.lowest:g} to {kept.highest:g} {kept.unit}".strip(), field
            )
    if low is not None and high is not None and low > high:
        raise Refused(f"{low:g} is above {high:g}. Give the lower one first.", "low")


def drop_target(session: Session, actor: Actor, target_id: int) -> Act:
    """Let the species' usual range hold again."""
    actor.must_manage()
    kept = find(session, WaterTarget, target_id)
    subject, name = _whom(session, For(kept.line_id, kept.tank_id))
    quantity = kept.quantity
    entry = Entry(session, actor, "choose target")
    entry.remove(kept)
    return entry.tell(subject, f"{name}: {KEPT[quantity].title} as usual again")
