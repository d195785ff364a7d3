"""Water tests: several quantities of one tank read at once, and a test that the ledger shall follow."""

from collections.abc import Mapping
from datetime import datetime

from sqlalchemy.orm import Session

from app.core.wording import listed
from app.queries.quantities import KEPT, say_reading
from app.services.journal import Entry
from app.services.moments import check_moment
from app.services.reading_days import settle
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.readings import Quantity, Reading
from app.store.session import find, rows
from app.store.tanks import Tank


def log_test(
    session: Session,
    actor: Actor,
    tank_id: int,
    values: Mapping[Quantity, float],
    *,
    at: datetime | None = None,
) -> list[Reading]:
    """Log what was tested, in the units kept (see :mod:`app.queries.quantities`); one act for all of it."""
    actor.must_log()
    tank, moment = find(session, Tank, tank_id), at or actor.now
    if not values:
        raise Refused("Nothing was read. Fill in at least one value.", "ph")
    check_moment(actor, tank, moment)
    for quantity, value in values.items():
        _check(quantity, value)
    _once(session, tank, values, moment)
    entry = Entry(session, actor, "test water")
    made = [
        entry.add(Reading(tank_id=tank.id, quantity=quantity, taken_at=moment, value=value))
        for quantity, value in values.items()
    ]
    said = listed([say_reading(quantity, value, actor.units) for quantity, value in values.items()])
    entry.tell(f"tank:{tank.id}", f"{tank.name}: {said} tested")
    settle(session, actor, [(tank.id, quantity, moment) for quantity in values])
    return made


def trust_test(session: Session, actor: Actor, reading_id: int) -> Reading:
    """Let the ledger go on from a test, where something was done that nobody logged."""
    actor.must_log()
    reading = find(session, Reading, reading_id)
    tank = find(session, Tank, reading.tank_id)
    if reading.trusted:
        raise Refused("The ledger follows this test already.", "reading")
    entry = Entry(session, actor, "trust test")
    entry.change(reading, trusted=True)
    said = say_reading(reading.quantity, reading.value, actor.units)
    entry.tell(f"tank:{tank.id}", f"{tank.name}: the ledger follows the test of {said}")
    return reading


def _check(quantity: Quantity, value: float) -> None:
    kept = KEPT[quantity]
    if not kept.holds(value):
        unit = f" {kept.unit}" if kept.unit else ""
        raise Refused(
            f"{kept.title} of {value:g}{unit} cannot be; give {kept.lowest:g} to {kept.highest:g}.",
            FIELDS[quantity],
        )


def _once(session: Session, tank: Tank, values: Mapping[Quantity, float], at: datetime) -> None:
    seen = rows(
        session,
        Reading,
        Reading.tank_id == tank.id,
        Reading.quantity.in_(values),
        Reading.logger_id.is_(None),
        Reading.taken_at == at,
    )
    if seen:
        said = say_reading(seen[0].quantity, seen[0].value)
        raise Refused(f"{said} of that moment is there already. Give another hour.", "on")


FIELDS = {
    Quantity.TEMPERATURE: "temperature_c",
    Quantity.PH: "ph",
    Quantity.GH: "gh_dh",
    Quantity.KH: "kh_dh",
    Quantity.AMMONIA: "ammonia",
    Quantity.NITRITE: "nitrite",
    Quantity.NITRATE: "nitrate",
    Quantity.SALINITY: "salinity",
}
"""The field that asks for each quantity, in the order of the form."""
