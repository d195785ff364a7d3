"""Devices that send readings: let in with a token that is shown once, shut out, and heard.

Who may send is no part of the records: it is not in the journal, so that taking back an old act
never lets a token in again. The readings of devices are not in it either: they are many, they are
known by their logger, and the days are added up from them.
"""

import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.loggers import Sent
from app.core.wording import day_words
from app.services.accounts import digest
from app.services.reading_days import settle
from app.services.refusals import NotFound, Refused
from app.store.actor import Actor
from app.store.bulk import add_new
from app.store.fishrooms import Fishroom
from app.store.readings import FILE, Logger, Quantity, Reading
from app.store.session import find, rows
from app.store.tanks import Tank
from app.store.users import Role

LONGEST_NAME = 60
ONCE = ("logger_id", "tank_id", "quantity", "taken_at")


@dataclass(frozen=True, slots=True)
class Stored:
    """How many readings of a message were new, and how many were there already."""

    stored: int
    repeated: int


@dataclass(frozen=True, slots=True)
class Heard:
    """A logger whose token was shown, and the actor it acts as."""

    logger_id: int
    actor: Actor


def add_logger(session: Session, actor: Actor, *, name: str, tank_id: int | None = None) -> str:
    """Let a device in and return its token; only the digest is kept."""
    actor.must_manage()
    name = name.strip()
    if not 0 < len(name) <= LONGEST_NAME:
        raise Refused(f"Give the logger a name of at most {LONGEST_NAME} letters.", "name")
    if rows(session, Logger, Logger.name == name):
        raise Refused(f"There is a logger {name} already. Give this one another name.", "name")
    tank = None if tank_id is None else find(session, Tank, tank_id)
    if tank is not None and tank.closed_on is not None:
        raise Refused(f"{tank.name} was taken down on {day_words(tank.closed_on)}.", "tank_id")
    token = secrets.token_urlsafe(32)
    session.add(
        Logger(
            fishroom_id=actor.fishroom_id,
            name=name,
            tank_id=tank_id,
            token_hash=digest(token),
            created_at=actor.now,
        )
    )
    session.flush()
    return token


def revoke_logger(session: Session, actor: Actor, logger_id: int) -> Logger:
    """Shut a device out for good; what it sent stays."""
    logger = find(session, Logger, logger_id)
    actor.must_manage()
    if logger.token_hash.startswith(FILE):
        raise NotFound("a file has no token")
    if logger.revoked_at is None:
        logger.revoked_at = actor.now
    session.flush()
    return logger


def heard(session: Session, token: str, now: datetime) -> Heard | None:
    """Return whose token this is, while it stands."""
    statement = (
        select(Logger.id, Fishroom)
        .join(Fishroom, Fishroom.id == Logger.fishroom_id)
        .where(Logger.token_hash == digest(token), Logger.revoked_at.is_(None))
    )
    found = session.execute(statement).one_or_none()
    if found is None:
        return None
    logger_id, room = found
    actor = Actor.of(room, Role.HELPER, now, None)
    return Heard(logger_id, actor)


def store_sent(session: Session, actor: Actor, logger_id: int, sent: Sequence[Sent]) -> Stored:
    """Store what a device sent: all of it, or nothing when one cannot be; repeats change nothing."""
    logger = find(session, Logger, logger_id)
    places = _Places(actor, logger.tank_id, rows(session, Tank))
    read = [
        (places.tank_id(one, f"items[{place}].tank"), Quantity(one.quantity), one.at)
        for place, one in enumerate(sent)
    ]
    whose = {"fishroom_id": actor.fishroom_id, "logger_id": logger.id}
    made = [
        {**whose, "tank_id": tank_id, "quantity": quantity, "taken_at": at, "value": one.value}
        for (tank_id, quantity, at), one in zip(read, sent, strict=True)
    ]
    new = len(add_new(session, Reading, made, ONCE))
    if new:
        settle(session, actor, read)
    logger.heard_at = actor.now
    session.flush()
    return Stored(new, len(made) - new)


class _Places:
    """Finds the tank a reading belongs to."""

    def __init__(self, actor: Actor, usual: int | None, tanks: Sequence[Tank]) -> None:
        """Know the fishroom's tanks by number and by name, and the logger's own."""
        self.zone, self.usual = ZoneInfo(actor.zone), usual
        self.by_id: Mapping[int, Tank] = {tank.id: tank for tank in tanks}
        self.by_name: Mapping[str, Tank] = {tank.name: tank for tank in tanks}

    def tank_id(self, one: Sent, field: str) -> int:
        """Return the number of the tank, or refuse a stranger and one that was taken down before."""
        wanted = self.usual if one.tank is None else one.tank
        if wanted is None:
            raise Refused("is missing; this logger has no tank of its own", field)
        tank = self.by_id.get(wanted) if isinstance(wanted, int) else self.by_name.get(wanted)
        if tank is None:
            raise Refused(f"there is no tank {wanted!r} here", field)
        if tank.closed_on is not None and one.at.astimezone(self.zone).date() > tank.closed_on:
            raise Refused(f"{tank.name} was taken down on {day_words(tank.closed_on)}", field)
        return tank.id
