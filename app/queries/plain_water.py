"""What the way of a tank back to plain water begins with: its salt now, and who stands in it."""

from dataclasses import dataclass

from sqlalchemy.orm import Session

from app.core.quantities import show_salinity
from app.core.water.ledger import Held
from app.queries.ledger import tank_ledger
from app.queries.tanks import standing_words, tank_shown
from app.store.actor import Actor
from app.store.cases import Case
from app.store.session import find


@dataclass(frozen=True, slots=True)
class PlainAsked:
    """The tank, what it holds, who stands in it, and the case it is done for, if it is."""

    tank_id: int
    tank: str
    litres: float
    salt: str
    salted: bool
    standing: str
    case_id: int | None


def plain_asked(session: Session, actor: Actor, tank_id: int, case_id: int | None) -> PlainAsked:
    """Read one tank and its salt."""
    actor.must_log()
    tank = tank_shown(session, actor, tank_id)
    now = tank_ledger(session, actor, tank.id).level(Held.SALT, actor.now)
    return PlainAsked(
        tank.id,
        tank.name,
        tank.litres,
        show_salinity(now) if now is not None else "not known",
        bool(now),
        standing_words(tank.occupants),
        find(session, Case, case_id).id if case_id is not None else None,
    )
