"""What was done to the water of the tanks, as the ledger takes it."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.water.hardness import rise
from app.core.water.ledger import Changed, Contents, Dosed, Event, Held, Key, Measured, ToppedUp, blend
from app.store.actor import Actor
from app.store.readings import Quantity, Reading, by_hand
from app.store.session import rows
from app.store.waters import Dose, Poured, SourceWater, Substance, SubstanceKind, WaterChange, WaterMove

KEPT = {
    Quantity.SALINITY: Held.SALT,
    Quantity.GH: Held.GH,
    Quantity.KH: Held.KH,
    Quantity.NITRATE: Held.NITRATE,
}
"""The quantities that are measured and followed."""

Gains = Mapping[Key, float | None]


def contents(water: SourceWater) -> Contents:
    """Return what a litre of a source water holds."""
    return {
        Held.SALT: water.salinity_g_per_l,
        Held.GH: water.gh_dh,
        Held.KH: water.kh_dh,
        Held.NITRATE: water.nitrate_mg_per_l,
    }


def key_of(substance: Substance) -> Key:
    """Return what a substance is followed as: salt, hardness, or by itself."""
    if substance.kind is SubstanceKind.SALT:
        return Held.SALT
    if substance.kind is SubstanceKind.MINERAL:
        gains = gains_of(substance)
        return Held.KH if not gains[Held.GH] and gains[Held.KH] else Held.GH
    return substance.id


def gains_of(substance: Substance) -> Gains:
    """Return what one unit of a substance (g, mL or piece) brings to one litre."""
    if substance.kind is SubstanceKind.SALT:
        return {Held.SALT: 1.0, **_hardness(substance, otherwise=0.0)}
    if substance.kind is SubstanceKind.MINERAL:
        return _hardness(substance, otherwise=None)
    return {substance.id: 1.0}


def _hardness(substance: Substance, *, otherwise: float | None) -> dict[Key, float | None]:
    """Return the rise by the label, else by the formula; an empty figure beside a full one is none."""
    gh, kh = substance.gh_dh_per_unit_l, substance.kh_dh_per_unit_l
    if gh is not None or kh is not None:
        return {Held.GH: gh or 0.0, Held.KH: kh or 0.0}
    if substance.formula:
        gain = rise(substance.formula, 1.0, 1.0)
        return {Held.GH: gain.gh_dh, Held.KH: gain.kh_dh}
    return {Held.GH: otherwise, Held.KH: otherwise}


def water_events(
    session: Session,
    actor: Actor,
    substances: Mapping[int, Substance],
    tank_ids: Sequence[int] | None = None,
    since: datetime | None = None,
) -> dict[int, list[Event]]:
    """Read everything that was done to the water of the tanks (from a moment on), in four statements."""
    found: dict[int, list[Event]] = defaultdict(list)
    gains = {one.id: gains_of(one) for one in substances.values()}
    for dose in rows(session, Dose, *_of(Dose.tank_id, tank_ids), *_from(Dose.dosed_at, since)):
        brought = _times(dose.amount, gains[dose.substance_id])
        found[dose.tank_id].append(Dosed(dose.dosed_at, brought, dose.id))
    changes = (*_of(WaterChange.tank_id, tank_ids), *_from(WaterChange.done_at, since))
    parts = _parts(session, actor, changes)
    for change in rows(session, WaterChange, *changes):
        made = Changed if change.kind is WaterMove.CHANGE else ToppedUp
        water = blend(parts.get(change.id, []))
        found[change.tank_id].append(made(change.done_at, change.litres, water, change.id))
    for tank_id, quantity, taken_at, value, trusted, number in _tests(session, actor, tank_ids, since):
        found[tank_id].append(Measured(taken_at, KEPT[quantity], value, trusted, number))
    return found


def _times(amount: float, gains: Gains) -> Gains:
    return {key: None if gain is None else gain * amount for key, gain in gains.items()}


def _of(column: Any, tank_ids: Sequence[int] | None) -> tuple[Any, ...]:  # noqa: ANN401 - a column
    return () if tank_ids is None else (column.in_(tank_ids),)


def _from(column: Any, since: datetime | None) -> tuple[Any, ...]:  # noqa: ANN401 - a column
    return () if since is None else (column >= since,)


def _parts(session: Session, actor: Actor, changes: Sequence[Any]) -> dict[int, list[tuple[float, Contents]]]:
    statement = (
        select(Poured.change_id, Poured.litres, SourceWater)
        .join(SourceWater, SourceWater.id == Poured.source_id)
        .join(WaterChange, WaterChange.id == Poured.change_id)
        .where(Poured.fishroom_id == actor.fishroom_id, *changes)
    )
    parts: dict[int, list[tuple[float, Contents]]] = defaultdict(list)
    held: dict[int, Contents] = {}  # thousands of changes, a handful of waters
    for change_id, litres, water in session.execute(statement):
        if water.id not in held:
            held[water.id] = contents(water)
        parts[change_id].append((litres, held[water.id]))
    return parts


def _tests(
    session: Session, actor: Actor, tank_ids: Sequence[int] | None, since: datetime | None
) -> Sequence[Any]:
    """Return what was tested by hand; a logger's readings are too many, and drift."""
    statement = select(
        Reading.tank_id, Reading.quantity, Reading.taken_at, Reading.value, Reading.trusted, Reading.id
    ).where(
        Reading.fishroom_id == actor.fishroom_id,
        Reading.id.in_(by_hand(tank_ids, KEPT, actor.fishroom_id)),
        *_from(Reading.taken_at, since),
    )
    return session.execute(statement).all()
