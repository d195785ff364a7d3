"""What the way of a tank back to plain water begins with: its salt now, and who stands in it."""

from dataclasses import dataclass

from sqlalchemy.orm import Session

from app.core.quantities import show_salinity
from app.core.water.acclimation import Limits
from app.core.water.ledger import Held
from app.queries.ledger import tank_ledger
from app.queries.plans import PlanShown
from app.queries.tanks import standing_words, tank_shown
from app.store.actor import Actor
from app.store.cases import Case
from app.store.session import find

GENTLE = Limits()
"""What fish that come from other water are led through in a day."""


@dataclass(frozen=True, slots=True)
class PlainAsked:
    """The tank, what it holds, who stands in it, and the case it is done for, if it is."""

    tank_id: int
    tank: str
    litres: float
    salt: str
    now: float | None
    standing: str
    case_id: int | None

    @property
    def salted(self) -> bool:
        """Whether there is salt to take out."""
        return bool(self.now)

    def steep(self, look: PlanShown) -> bool:
        """Say whether the first change, the largest, takes more than fish are led through in a day."""
        after = look.steps[0].salinity_g_per_l
        return self.now is not None and after is not None and self.now - after > GENTLE.salinity_g_per_l


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
        now,
        standing_words(tank.occupants),
        find(session, Case, case_id).id if case_id is not None else None,
    )
