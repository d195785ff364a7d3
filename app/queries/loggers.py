"""The loggers page: every device that may send, when it was last heard, and the files taken in."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.core.reminders import LoggerFact
from app.core.wording import distance_words
from app.store.actor import Actor
from app.store.readings import FILE, RAW, Logger
from app.store.session import rows
from app.store.tanks import Tank

SILENT = timedelta(days=1)
"""A device that was not heard for so long has stopped (judgement: sensors send every few minutes)."""


@dataclass(frozen=True, slots=True)
class LoggerShown:
    """One device, or one file; ``number`` counts its readings."""

    id: int
    name: str
    tank_id: int | None
    tank: str
    number: int
    heard: str
    silent: bool
    revoked_on: date | None
    made_on: date

    @property
    def words(self) -> str:
        """Say how many readings came of it."""
        return f"{self.number:,} {'reading' if self.number == 1 else 'readings'}"


@dataclass(frozen=True, slots=True)
class LoggersPage:
    """Devices that may send, those shut out, files, and the tanks a new device can stand at."""

    loggers: tuple[LoggerShown, ...]
    revoked: tuple[LoggerShown, ...]
    files: tuple[LoggerShown, ...]
    tanks: tuple[tuple[int, str], ...]

    @property
    def example_tank(self) -> str:
        """A tank's name for the example."""
        return self.tanks[0][1] if self.tanks else "Tank 1"


def loggers_page(session: Session, actor: Actor) -> LoggersPage:
    """Read all loggers in a fixed number of statements."""
    tanks = rows(session, Tank, order=(Tank.position, Tank.id))
    names = {tank.id: tank.name for tank in tanks}
    kept = rows(session, Logger, order=(Logger.name, Logger.id))
    numbers = _numbers(session, [logger.id for logger in kept])
    shown = [(logger, _shown(actor, logger, names, numbers.get(logger.id, 0))) for logger in kept]
    devices = [(logger, one) for logger, one in shown if not logger.token_hash.startswith(FILE)]
    return LoggersPage(
        tuple(one for logger, one in devices if logger.revoked_at is None),
        tuple(one for logger, one in devices if logger.revoked_at is not None),
        tuple(one for logger, one in shown if logger.token_hash.startswith(FILE)),
        tuple((tank.id, tank.name) for tank in tanks if tank.closed_on is None),
    )


def _numbers(session: Session, logger_ids: list[int]) -> dict[int, int]:
    """Return how many readings came of each of these loggers."""
    counted = select(RAW.logger_id, func.count()).where(RAW.logger_id.in_(logger_ids))
    found = session.execute(counted.group_by(RAW.logger_id))
    return {logger_id: number for logger_id, number in found}  # noqa: C416 - rows are typed so


def _shown(actor: Actor, logger: Logger, names: dict[int, str], number: int) -> LoggerShown:
    return LoggerShown(
        logger.id,
        logger.name,
        logger.tank_id,
        names.get(logger.tank_id, "") if logger.tank_id is not None else "",
        number,
        _heard_words(actor, logger.heard_at),
        _is_silent(actor, logger),
        None if logger.revoked_at is None else actor.day(logger.revoked_at),
        actor.day(logger.created_at),
    )


def _heard_words(actor: Actor, at: datetime | None) -> str:
    if at is None:
        return "not heard yet"
    if actor.now - at < timedelta(minutes=2):
        return "heard just now"
    local = actor.local(at)
    day = "today" if local.date() == actor.today else distance_words(local.date(), actor.today)
    return f"last heard {day}, {local:%H:%M}"


def _is_silent(actor: Actor, logger: Logger) -> bool:
    """Say whether a device that may send, and once did, has stopped."""
    heard = logger.heard_at
    return logger.revoked_at is None and heard is not None and actor.now - heard > SILENT


def silent_loggers(session: Session, actor: Actor) -> tuple[LoggerFact, ...]:
    """Return the devices that stopped sending, for the rounds."""
    found = rows(session, Logger, Logger.revoked_at.is_(None), Logger.heard_at.is_not(None))
    return tuple(
        LoggerFact(logger.id, logger.name, logger.tank_id, actor.day(logger.heard_at))
        for logger in found
        if logger.heard_at is not None and _is_silent(actor, logger)
    )
