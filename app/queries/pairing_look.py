"""A look at a pairing before it is made: what is known of those chosen."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from sqlalchemy.orm import Session

from app.core.lineage.relations import Relations
from app.core.pairing_advice import Advice, Partner, pairing_advice
from app.core.ribbon import Ribbon
from app.core.species import SPECIES, Species
from app.core.why import Why
from app.core.wording import age_words, day_words, length_words, listed, many, span_words
from app.queries.exposure import Contact, contacts
from app.queries.kinship import kin
from app.queries.occupants import label_of
from app.queries.outlook import BirthOutlook, birth_outlooks
from app.queries.sections import places
from app.store.actor import Actor
from app.store.batches import Batch
from app.store.broods import Brood
from app.store.carryings import Basis, Carrying
from app.store.fish import Fish, Origin, WithMales
from app.store.lines import Line
from app.store.session import rows
from app.store.stays import Stay


@dataclass(frozen=True, slots=True)
class DamLook:
    """What is known of one dam."""

    id: int
    label: str
    facts: tuple[tuple[str, str], ...]
    ribbon: Ribbon | None
    why: Why | None
    caution: str


@dataclass(frozen=True, slots=True)
class PairLook:
    """How two are related, and what that makes of their young."""

    dam: str
    sire: str
    inbreeding: float
    words: str
    close: bool


@dataclass(frozen=True, slots=True)
class PairingLook:
    """The panel shown before a pairing is saved."""

    title: str
    where: str
    advice: tuple[Advice, ...]
    dams: tuple[DamLook, ...]
    pairs: tuple[PairLook, ...]
    moved: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Read:
    """Rows read once for the panel."""

    actor: Actor
    on: date
    species: dict[int, Species]
    contacts: dict[int, list[Contact]]
    broods: dict[int, list[Brood]]
    carryings: dict[int, Carrying]
    outlooks: dict[int, BirthOutlook]
    names: dict[int, str]
    batches: dict[int, str]


def look(
    session: Session, actor: Actor, section_id: int, dam_ids: Sequence[int], sire_ids: Sequence[int], on: date
) -> PairingLook | None:
    """Return what is worth knowing of a pairing; nothing while it is not wholly chosen."""
    where = places(session, actor).get(section_id)
    chosen = {fish.id: fish for fish in rows(session, Fish, Fish.id.in_([*dam_ids, *sire_ids]))}
    dams = [chosen[each] for each in dam_ids if each in chosen]
    sires = [chosen[each] for each in sire_ids if each in chosen]
    if where is None or not dams or not sires:
        return None
    read = _read(session, actor, dams, on)
    members = [*dams, *sires]
    stands = {
        stay.fish_id: stay.section_id
        for stay in rows(session, Stay, Stay.fish_id.in_(chosen), Stay.to_on.is_(None))
    }
    return PairingLook(
        " × ".join(", ".join(label_of(fish) for fish in side) for side in (dams, sires)),
        where.words,
        pairing_advice([read.species[fish.line_id] for fish in members], _partners(dams), _partners(sires)),
        tuple(_dam(read, dam, {sire.id for sire in sires}) for dam in dams),
        _pairs(kin(session, actor), dams, sires),
        tuple(label_of(fish) for fish in members if stands.get(fish.id) != section_id),
        tuple(
            f"{label_of(fish)} is in quarantine until {day_words(fish.quarantine_until, actor.today)}."
            for fish in members
            if fish.quarantine_until is not None and fish.quarantine_until > on
        ),
    )


def _partners(fish: Sequence[Fish]) -> list[Partner]:
    return [Partner(label_of(each), each.length_mm) for each in fish]


def _read(session: Session, actor: Actor, dams: Sequence[Fish], on: date) -> _Read:
    ids = [dam.id for dam in dams]
    met = contacts(session, actor.fishroom_id, actor.today, ids)
    broods: dict[int, list[Brood]] = {}
    for brood in rows(session, Brood, Brood.dam_id.in_(ids), order=(Brood.dropped_from, Brood.id)):
        broods.setdefault(brood.dam_id, []).append(brood)
    sire_ids = [c.sire_id for each in met.values() for c in each if c.sire_id is not None]
    batch_ids = [c.batch_id for each in met.values() for c in each if c.batch_id is not None]
    return _Read(
        actor,
        on,
        {line.id: SPECIES[line.species] for line in rows(session, Line)},
        met,
        broods,
        {c.dam_id: c for c in rows(session, Carrying, Carrying.dam_id.in_(ids), Carrying.ended_on.is_(None))},
        birth_outlooks(session, actor, ids),
        {fish.id: label_of(fish) for fish in rows(session, Fish, Fish.id.in_(sire_ids))},
        {batch.id: batch.code for batch in rows(session, Batch, Batch.id.in_(batch_ids))},
    )


def _dam(read: _Read, dam: Fish, chosen: set[int]) -> DamLook:
    outlook = read.outlooks.get(dam.id)
    others = _others(read, dam, chosen)
    facts = (
        ("Age", _age(read, dam)),
        ("Last drop", _last_drop(read, dam)),
        ("Carrying", _carrying(read, dam)),
        ("Other males", others or _no_males(read, dam)),
    )
    return DamLook(
        dam.id,
        label_of(dam),
        facts,
        outlook.ribbon if outlook is not None else None,
        outlook.forecast.why if outlook is not None else None,
        _caution(read, dam, others),
    )


def _age(read: _Read, dam: Fish) -> str:
    if dam.born_on is None:
        return "not known"
    age = age_words(dam.born_on, dam.born_on, read.on)
    return age if dam.born_precision.value == "to the day" else f"{age} (birth date {dam.born_precision})"


def _last_drop(read: _Read, dam: Fish) -> str:
    broods = read.broods.get(dam.id)
    if not broods:
        return "none logged"
    last = broods[-1]
    when = span_words(last.dropped_from, last.dropped_to, read.actor.today)
    ago = (read.on - last.dropped_to).days
    return (
        f"{when}, {many(ago, 'day')} before; {many(last.live, 'live fry', 'live fry')}; brood {len(broods)}"
    )


def _carrying(read: _Read, dam: Fish) -> str:
    carrying = read.carryings.get(dam.id)
    if carrying is None:
        return "no; her clock starts with this pairing"
    began = day_words(carrying.started_on, read.actor.today)
    return {
        Basis.EXPOSURE: f"perhaps, she met males from {began} on",
        Basis.LAST_DROP: f"perhaps, counted from her drop on {began}",
        Basis.ARRIVAL: f"perhaps, she came on {began}",
    }[carrying.basis]


def _others(read: _Read, dam: Fish, chosen: set[int]) -> str:
    """Name the males not chosen whose sperm she may still hold."""
    species = read.species[dam.line_id]
    since = read.on - timedelta(days=round(max(species.storage_days, species.interval_days)))
    met = [c for c in read.contacts.get(dam.id, []) if c.end is None or c.end >= since]
    names = [read.names[c.sire_id] for c in met if c.sire_id is not None and c.sire_id not in chosen]
    names += [f"males of batch {read.batches[c.batch_id]}" for c in met if c.batch_id is not None]
    if dam.with_males is WithMales.YES and dam.arrived_on >= since:
        names.append("unknown males before she came")
    return listed(list(dict.fromkeys(names)))


def _no_males(read: _Read, dam: Fish) -> str:
    if read.broods.get(dam.id) or read.contacts.get(dam.id):
        return "none lately"
    if dam.with_males is WithMales.NO:
        return "none; a virgin"
    if dam.origin is Origin.HOMEBRED:
        return "none on record; a virgin if she was taken from her brothers in time"
    return "not known before she came"


def _caution(read: _Read, dam: Fish, others: str) -> str:
    species = read.species[dam.line_id]
    if others and species.stores_sperm:
        kept = length_words(round(species.storage_days))
        return (
            f"Her next broods may be by {others}: stored sperm lasts up to {kept}. "
            "Fresh sperm mostly, not always, comes first."
        )
    if dam.with_males is WithMales.UNKNOWN and dam.origin is not Origin.HOMEBRED and species.stores_sperm:
        return "Whether she met males before she came is not known: her first broods may not be his."
    return ""


def _pairs(relations: Relations, dams: Sequence[Fish], sires: Sequence[Fish]) -> tuple[PairLook, ...]:
    return tuple(
        _pair(dam, sire, relations.kinship(str(dam.id), str(sire.id))) for dam in dams for sire in sires
    )


def _pair(dam: Fish, sire: Fish, kinship: float) -> PairLook:
    words = kin_words(kinship)
    if kinship == 0 and (dam.dam_id is None or sire.dam_id is None):
        words = "no kin on record; the parents of one are not known"
    return PairLook(label_of(dam), label_of(sire), kinship, words, kinship >= 0.125)


def kin_words(kinship: float) -> str:
    """Say a kinship as people know it; the steps are Wright's for outbred families."""
    if kinship >= 0.25:
        return "as close as brother and sister, or parent and young"
    if kinship >= 0.125:
        return "as close as half siblings"
    if kinship >= 0.0625:
        return "as close as first cousins"
    return "distant kin" if kinship > 0 else "no kin on record"
