"""Who may have sired a brood, from who stood with the dam and what she may have brought along."""

from dataclasses import dataclass
from datetime import timedelta

from sqlalchemy.orm import Session

from app.core.lineage.sires import Exposure, conception_days
from app.core.lineage.sires import possible_sires as reckon
from app.core.wording import in_ten
from app.queries.evidence.lines import species_of
from app.queries.exposure import Contact, contacts
from app.queries.occupants import label_of
from app.store.actor import Actor
from app.store.batches import Batch
from app.store.broods import Brood
from app.store.fish import Fish, Origin, WithMales
from app.store.lines import Line
from app.store.session import find, rows

LEAST = 0.01
"""Chances below one in a hundred are not worth a line."""


@dataclass(frozen=True, slots=True)
class PossibleSire:
    """A male, or the males of a batch, or one nobody knows, and the chance that a fry is his."""

    fish_id: int | None
    label: str
    chance: float
    words: str


def possible_sires(session: Session, actor: Actor, dam: Fish, brood: Brood) -> tuple[PossibleSire, ...]:
    """Return the possible sires of a brood, the likeliest first."""
    species = species_of(find(session, Line, dam.line_id))
    met = contacts(session, actor.fishroom_id, actor.today, [dam.id]).get(dam.id, [])
    conceived = conception_days(brood.dropped_to, _interval(session, dam, brood, species.interval_days))
    chances = reckon([*_exposures(met), *_before(dam)], conceived, species.storage_days)
    names = _names(session, met)
    return tuple(
        PossibleSire(
            int(each.sire) if each.sire is not None and each.sire.isdigit() else None,
            names[each.sire] if each.sire is not None else "a male not on record",
            each.chance,
            in_ten(each.chance),
        )
        for each in chances
        if each.chance >= LEAST
    )


def _interval(session: Session, dam: Fish, brood: Brood, usual: float) -> float:
    """Return the days since her drop before, where they are those of one carrying; else the usual."""
    earlier = rows(
        session,
        Brood,
        Brood.dam_id == dam.id,
        Brood.dropped_to < brood.dropped_from,
        order=(Brood.dropped_to.desc(), Brood.id),
    )
    days = (brood.dropped_to - earlier[0].dropped_to).days if earlier else 0
    return float(days) if 0.6 * usual <= days <= 1.6 * usual else usual


def _exposures(met: list[Contact]) -> list[Exposure]:
    return [Exposure(_key(contact), contact.start, contact.end) for contact in met]


def _key(contact: Contact) -> str:
    return str(contact.sire_id) if contact.sire_id is not None else f"batch {contact.batch_id}"


def _before(dam: Fish) -> list[Exposure]:
    """Return the males she may have met before she came."""
    if dam.origin is Origin.HOMEBRED or dam.with_males is WithMales.NO:
        return []
    day_before = dam.arrived_on - timedelta(days=1)
    return [Exposure(None, day_before, day_before)]


def _names(session: Session, met: list[Contact]) -> dict[str, str]:
    sires = [contact.sire_id for contact in met if contact.sire_id is not None]
    batches = [contact.batch_id for contact in met if contact.batch_id is not None]
    names = {str(fish.id): label_of(fish) for fish in rows(session, Fish, Fish.id.in_(sires))}
    names |= {
        f"batch {batch.id}": f"a male of batch {batch.code}"
        for batch in rows(session, Batch, Batch.id.in_(batches))
    }
    return names
