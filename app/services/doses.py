"""Doses: a measured amount into a tank, or exactly what brings it to a level."""

from dataclasses import dataclass
from datetime import datetime
from math import isfinite

from sqlalchemy.orm import Session

from app.core.water.ledger import Held, Key
from app.core.water.levels import show_amount, show_held, show_level
from app.core.water.seawater import SALTIEST
from app.core.wording import day_words
from app.queries.evidence.waters import gains_of, key_of
from app.queries.ledger import TankLedger, tank_ledger
from app.services.journal import Entry
from app.services.moments import check_moment
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.session import find
from app.store.tanks import Tank
from app.store.waters import Dose, Substance

ENOUGH = 1e-3
"""Below this share of a level nothing is missing; no balance shows it."""
FULL_PER_L = 1000.0
"""Grams or millilitres in a litre: no tank takes up more."""
TOO_STRONG = 5.0
"""So many times the label's dose is a slip of the pen (judgement)."""


@dataclass(frozen=True, slots=True)
class Needed:
    """What brings a tank to a level: how much of the substance, from where to where."""

    key: Key
    amount: float
    now: float
    level: float


def log_dose(
    session: Session,
    actor: Actor,
    tank_id: int,
    substance_id: int,
    *,
    amount: float,
    at: datetime | None = None,
    note: str = "",
) -> Dose:
    """Log an amount that was added; without a moment it was now."""
    actor.must_log()
    tank, substance = find(session, Tank, tank_id), find(session, Substance, substance_id)
    moment = at or actor.now
    check_moment(actor, tank, moment)
    check_amount(session, actor, tank, substance, amount, moment)
    entry = Entry(session, actor, "dose")
    dose = add_dose(entry, tank, substance, amount, moment, note)
    entry.tell(f"tank:{tank.id}", f"{tank.name}: {amount_words(substance, amount)} {substance.name} added")
    return dose


def log_dose_to(
    session: Session,
    actor: Actor,
    tank_id: int,
    substance_id: int,
    *,
    level: float,
    of: Held | None = None,
    at: datetime | None = None,
    note: str = "",
) -> Dose:
    """Log exactly what brings the tank to a level of the substance (or of a hardness it raises)."""
    actor.must_log()
    tank, substance = find(session, Tank, tank_id), find(session, Substance, substance_id)
    moment = at or actor.now
    check_moment(actor, tank, moment)
    wanted = needed(tank_ledger(session, actor, tank.id), substance, level, moment, of=of)
    check_amount(session, actor, tank, substance, wanted.amount, moment)
    entry = Entry(session, actor, "dose")
    dose = add_dose(entry, tank, substance, wanted.amount, moment, note)
    entry.tell(
        f"tank:{tank.id}",
        f"{tank.name}: {amount_words(substance, wanted.amount)} {substance.name} added, "
        f"to {level_words(substance, wanted.key, level)}",
    )
    return dose


def add_dose(
    entry: Entry, tank: Tank, substance: Substance, amount: float, at: datetime, note: str = ""
) -> Dose:
    """Put a dose that was checked into the books, within an act."""
    return entry.add(
        Dose(
            tank_id=tank.id, substance_id=substance.id, dosed_at=at, amount=amount, note=note.strip()
        )
    )  # fmt: skip


def needed(
    ledger: TankLedger, substance: Substance, level: float, at: datetime, *, of: Held | None = None
) -> Needed:
    """Return what is missing to a level at a moment; refuse what a dose cannot reach."""
    key = of or key_of(substance)
    each = gains_of(substance).get(key)
    now = ledger.level(key, at)
    if not each:
        raise Refused(
            f"{substance.name} has no figure for {key_words(substance, key)}. "
            "Give its formula or its label's figure, or log the amount.",
            "level",
        )
    if now is None:
        raise Refused(
            f"How much {key_words(substance, key)} {ledger.name} holds is not known. "
            "Test the water first, or log the amount.",
            "level",
        )
    if not level > now * (1 + ENOUGH):
        raise Refused(
            f"{ledger.name} holds {level_words(substance, key, now)} already. "
            "A dose only raises it; change water to bring it down.",
            "level",
        )
    return Needed(key, (level - now) * ledger.litres / each, now, level)


def check_amount(
    session: Session, actor: Actor, tank: Tank, substance: Substance, amount: float, at: datetime
) -> None:
    """Refuse an amount that is none or cannot be meant, and what was put away."""
    if not (isfinite(amount) and amount > 0):
        raise Refused("Give how much was added, more than 0.", "amount")
    if substance.retired_on is not None and actor.day(at) >= substance.retired_on:
        raise Refused(
            f"{substance.name} was put away on {day_words(substance.retired_on)}. Choose another.",
            "substance_id",
        )
    if amount > FULL_PER_L * tank.litres:
        raise Refused(
            f"{amount_words(substance, amount)} is more than the {tank.litres:g} L of {tank.name} hold. "
            "Check the amount.",
            "amount",
        )
    _check_level(session, actor, tank, substance, amount, at)


def _check_level(
    session: Session, actor: Actor, tank: Tank, substance: Substance, amount: float, at: datetime
) -> None:
    """Refuse what would make the tank saltier than the sea, or a medicine far stronger than its label."""
    key, label = key_of(substance), substance.label_dose_per_l
    if key is not Held.SALT and (isinstance(key, Held) or label is None):
        return
    after = (tank_ledger(session, actor, tank.id).level(key, at) or 0.0) + amount / tank.litres
    made = f"That makes {level_words(substance, key, after)} in the {tank.litres:g} L of {tank.name}"
    if key is Held.SALT and after > SALTIEST:
        raise Refused(f"{made}, more than the sea. Check the amount.", "amount")
    if label is not None and key is not Held.SALT and after > TOO_STRONG * label:
        raise Refused(
            f"{made}, {after / label:.0f} times the label's dose. Check the amount, and the label's dose "
            "among your substances.",
            "amount",
        )


def amount_words(substance: Substance, amount: float) -> str:
    """Return an amount of a substance in its own measure."""
    return show_amount(amount, substance.measure)


def level_words(substance: Substance, key: Key, level: float) -> str:
    """Return a level of what a substance is followed as."""
    if isinstance(key, Held):
        return show_held(key, level)
    return show_level(level, substance.measure)


def key_words(substance: Substance, key: Key) -> str:
    """Return what a level is of: ``salt``, ``GH``, or the substance's name."""
    return key.value if isinstance(key, Held) else substance.name
