"""What is in the water of each tank, at any moment."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from app.core.water.ledger import Account, Event, Held, Key, account, in_order
from app.queries.evidence.waters import key_of, water_events
from app.store.actor import Actor
from app.store.session import find, rows
from app.store.tanks import Tank
from app.store.waters import Substance

FRESH = 0.0
"""A tank is taken to begin without salt and medicines; its hardness has to be told or tested."""


@dataclass(frozen=True, slots=True)
class TankLedger:
    """Every account of one tank; ``accounts`` holds what all water holds, and each substance dosed."""

    tank_id: int
    name: str
    litres: float
    events: tuple[Event, ...]
    accounts: Mapping[Key, Account]
    substances: Mapping[int, Substance]

    def level(self, key: Key, at: datetime) -> float | None:
        """Level at a moment; of a substance that was never dosed here there is none."""
        found = self.accounts.get(key)
        return found.at(at) if found is not None else FRESH

    @property
    def salted(self) -> bool:
        """Whether salt was ever dosed, poured or tested here."""
        return any(point.after != FRESH for point in self.accounts[Held.SALT].points)


@dataclass(frozen=True, slots=True)
class Recent:
    """What was done to one tank's water of late; too little to tell a level from."""

    litres: float
    events: tuple[Event, ...]


def recent(session: Session, actor: Actor, tank_ids: Sequence[int], since: datetime) -> dict[int, Recent]:
    """Read what was done to the water of some tanks from a moment on, however long they have stood."""
    substances = {one.id: one for one in rows(session, Substance)}
    events = water_events(session, actor, substances, tank_ids, since)
    return {
        tank.id: Recent(tank.litres, tuple(in_order(events.get(tank.id, []))))
        for tank in rows(session, Tank, Tank.id.in_(tank_ids))
    }


def tank_ledger(session: Session, actor: Actor, tank_id: int) -> TankLedger:
    """Read the ledger of one tank."""
    find(session, Tank, tank_id)
    return tank_ledgers(session, actor, [tank_id])[tank_id]


def tank_ledgers(
    session: Session, actor: Actor, tank_ids: Sequence[int] | None = None
) -> dict[int, TankLedger]:
    """Read the ledgers of all tanks, or of those asked for, in six statements."""
    substances = {one.id: one for one in rows(session, Substance)}
    events = water_events(session, actor, substances, tank_ids)
    wanted = () if tank_ids is None else (Tank.id.in_(tank_ids),)
    return {
        tank.id: _ledger(tank, tuple(in_order(events.get(tank.id, []))), substances)
        for tank in rows(session, Tank, *wanted)
    }


def _ledger(tank: Tank, events: tuple[Event, ...], substances: Mapping[int, Substance]) -> TankLedger:
    keys: list[Key] = [*Held, *(one.id for one in substances.values() if key_of(one) == one.id)]
    accounts = {
        key: account(
            key,
            tank.litres,
            events,
            start=None if key in {Held.GH, Held.KH, Held.NITRATE} else FRESH,
            half_life_days=None if isinstance(key, Held) else substances[key].half_life_days,
            follow_tests=key is Held.NITRATE,
        )
        for key in keys
        if isinstance(key, Held) or _met(key, events)
    }
    return TankLedger(tank.id, tank.name, tank.litres, events, accounts, substances)


def _met(key: Key, events: Sequence[Event]) -> bool:
    return any(key in getattr(event, "gains", ()) for event in events)
