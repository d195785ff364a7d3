"""Logging what thermometers showed, and taking a slip out again."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.quantities import show_temperature
from app.core.quantities.parsing import COLDEST_C, HOTTEST_C
from app.core.wording import listed, many
from app.queries.quantities import say_reading
from app.services.journal import Entry
from app.services.moments import check_moment, moment, moment_words
from app.services.reading_days import settle
from app.services.refusals import Refused
from app.store.actor import Actor, Forbidden
from app.store.journal import Act, Change
from app.store.readings import Quantity, Reading
from app.store.session import find
from app.store.tanks import Tank


@dataclass(frozen=True, slots=True)
class Shown:
    """What the thermometer of one tank showed at a moment."""

    tank_id: int
    taken_at: datetime
    temperature_c: float


def log_reading(
    session: Session,
    actor: Actor,
    tank_id: int,
    *,
    temperature_c: float,
    on: date | None = None,
    at: time | None = None,
) -> Reading:
    """Log one temperature; without a day it is taken now."""
    shown = Shown(tank_id, moment(actor, on or actor.today, at), temperature_c)
    return log_readings(session, actor, [shown])[0]


def log_readings(session: Session, actor: Actor, shown: Sequence[Shown]) -> list[Reading]:
    """Log several temperatures as one act, of one tank or of a whole walk."""
    actor.must_log()
    if not shown:
        raise Refused("Nothing was read. Give at least one temperature.", "temperature_c")
    tanks = {tank_id: find(session, Tank, tank_id) for tank_id in dict.fromkeys(s.tank_id for s in shown)}
    for one in shown:
        _check(actor, tanks[one.tank_id], one)
    _once(session, actor, shown)
    entry = Entry(session, actor, "log reading")
    made = [entry.add(Reading(tank_id=s.tank_id, taken_at=s.taken_at, value=s.temperature_c)) for s in shown]
    subject = f"tank:{shown[0].tank_id}" if len(tanks) == 1 else "tank:walk"
    entry.tell(subject, _words(actor, list(tanks.values()), shown))
    settle(session, actor, [(s.tank_id, Quantity.TEMPERATURE, s.taken_at) for s in shown])
    return made


def _check(actor: Actor, tank: Tank, one: Shown) -> None:
    check_moment(actor, tank, one.taken_at, "the thermometer was read")
    if not COLDEST_C <= one.temperature_c <= HOTTEST_C:
        raise Refused(
            f"{one.temperature_c:g} °C cannot be a tank; °F? Give 0 to 45 °C, or write 76 F.", "temperature_c"
        )


def _once(session: Session, actor: Actor, shown: Sequence[Shown]) -> None:
    """Refuse to log the same moment of one tank twice."""
    statement = select(Reading.tank_id, Reading.taken_at).where(
        Reading.fishroom_id == actor.fishroom_id,
        Reading.tank_id.in_({s.tank_id for s in shown}),
        Reading.quantity == Quantity.TEMPERATURE,
        Reading.logger_id.is_(None),
        Reading.taken_at >= min(s.taken_at for s in shown),
        Reading.taken_at <= max(s.taken_at for s in shown),
    )
    seen = {(tank_id, taken_at) for tank_id, taken_at in session.execute(statement)}
    for one in shown:
        if (one.tank_id, one.taken_at) in seen:
            raise Refused(
                f"A temperature of {moment_words(actor, one.taken_at)} is there already. "
                "Take the old one out first, or give another hour.",
                "on",
            )
        seen.add((one.tank_id, one.taken_at))


def _words(actor: Actor, tanks: list[Tank], shown: Sequence[Shown]) -> str:
    if len(shown) == 1:
        return f"{tanks[0].name}: {show_temperature(shown[0].temperature_c, actor.units)} logged"
    return f"{many(len(shown), 'temperature')} logged for {listed([tank.name for tank in tanks])}"


def remove_reading(session: Session, actor: Actor, reading_id: int) -> Reading:
    """Take one reading out; a helper only what the helper logged."""
    actor.must_log()
    reading = find(session, Reading, reading_id)
    if not actor.may_manage and _logged_by(session, reading) != actor.user_id:
        raise Forbidden("Helpers can take back only what they logged themselves.")
    tank = find(session, Tank, reading.tank_id)
    shown = say_reading(reading.quantity, reading.value, actor.units)
    said = f"{shown} of {moment_words(actor, reading.taken_at)}"
    entry = Entry(session, actor, "remove reading")
    entry.remove(reading)
    entry.tell(f"tank:{tank.id}", f"{tank.name}: {said} taken out")
    settle(session, actor, [(tank.id, reading.quantity, reading.taken_at)])
    return reading


def _logged_by(session: Session, reading: Reading) -> int | None:
    statement = (
        select(Act.user_id)
        .join(Change, Change.act_id == Act.id)
        .where(
            Change.fishroom_id == reading.fishroom_id,
            Change.table_name == "reading",
            Change.row_id == reading.id,
            Change.before.is_(None),
        )
    )
    return session.scalar(statement)
