"""What is known of each dam who waits for a drop."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import pairwise
from typing import NamedTuple

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.births import (
    Arrived,
    BirthEvidence,
    DamHistory,
    Exposed,
    LastDrop,
    LineHistory,
    OwnInterval,
)
from app.queries.evidence.lines import lines_by_id, species_of
from app.queries.evidence.thermometers import Spell, Thermometers, spells_of_fish, thermometers
from app.queries.exposure import Contact, contacts
from app.store.actor import Actor
from app.store.broods import Brood
from app.store.carryings import Basis, Carrying
from app.store.fish import Fish, Origin, WithMales
from app.store.lines import Line

YEARS_BACK = timedelta(days=3 * 365)
"""How far back other dams' intervals are looked at; older habits say little about today's fish."""

LONGEST_WAIT = timedelta(days=1900)
"""A wait of more than five years is a record nobody closed, not a dam who will drop."""


@dataclass(frozen=True, slots=True)
class BirthCase:
    """One dam's wait, and the evidence about it; ``fallback`` counts from the males here instead."""

    carrying: Carrying
    dam: Fish
    line: Line
    evidence: BirthEvidence
    fallback: BirthEvidence | None
    contacts: tuple[Contact, ...]


class Drop(NamedTuple):
    """What counts of a brood as evidence of its dam's next one; read by the thousand."""

    id: int
    dropped_from: date
    dropped_to: date
    fry: int


@dataclass(frozen=True, slots=True)
class _Read:
    """Rows read once for all dams."""

    today: date
    lines: dict[int, Line]
    drops: dict[int, list[Drop]]
    histories: dict[int, DamHistory]
    line_of: dict[int, int]
    contacts: dict[int, list[Contact]]
    spells: dict[int, list[Spell]]
    thermometers: Thermometers


def birth_cases(session: Session, actor: Actor, dam_ids: Sequence[int] | None = None) -> list[BirthCase]:
    """Return the open waits (of all dams unless said), in a fixed number of statements."""
    statement = (
        select(Carrying, Fish)
        .join(Fish, Fish.id == Carrying.dam_id)
        .where(
            Carrying.fishroom_id == actor.fishroom_id,
            Carrying.ended_on.is_(None),
            Carrying.started_on > actor.today - LONGEST_WAIT,
        )
        .order_by(Fish.code)
    )
    if dam_ids is not None:
        statement = statement.where(Fish.id.in_(dam_ids))
    waits = session.execute(statement).all()
    if not waits:
        return []
    read = _read(session, actor, [dam for _, dam in waits], [carrying for carrying, _ in waits])
    return [_case(read, carrying, dam) for carrying, dam in waits]


def _read(session: Session, actor: Actor, dams: list[Fish], carryings: list[Carrying]) -> _Read:
    room = actor.fishroom_id
    ids = [dam.id for dam in dams]
    lines = lines_by_id(session, room)
    drops, line_of, met_again = _drops(session, actor, ids)
    since = min(carrying.started_on for carrying in carryings)
    first_drops = [drops[dam_id][0].dropped_from for dam_id in ids if drops.get(dam_id)]
    warm = thermometers(session, actor, min([since, *first_drops]))
    spells = spells_of_fish(session, room, ids)
    own = set(ids)
    histories = {
        dam_id: intervals(
            own_drops,
            warm,
            spells.get(dam_id, []) if dam_id in own else [],
            {} if species_of(lines[line_of[dam_id]]).stores_sperm else met_again,
        )
        for dam_id, own_drops in drops.items()
    }
    met = contacts(session, room, actor.today, ids)
    return _Read(actor.today, lines, drops, histories, line_of, met, spells, warm)


MetAgain = Mapping[int, tuple[date, date]]
"""By brood: between which days the wait for it began, where that was a meeting with males."""


def _drops(
    session: Session, actor: Actor, ids: list[int]
) -> tuple[dict[int, list[Drop]], dict[int, int], MetAgain]:
    """Return the recent drops by dam (all of the dams asked for), each dam's line, and their meetings."""
    recent = actor.today - YEARS_BACK
    fry = Brood.live + Brood.dead + Brood.early
    statement = (
        select(
            Brood.dam_id, Brood.id, Brood.dropped_from, Brood.dropped_to, fry,
            Fish.line_id, Carrying.started_on, Carrying.started_until,
        )
        .join(Fish, Fish.id == Brood.dam_id)
        .outerjoin(Carrying, (Carrying.brood_id == Brood.id) & (Carrying.basis == Basis.EXPOSURE))
        .where(Brood.fishroom_id == actor.fishroom_id, (Brood.dropped_from >= recent) | Brood.dam_id.in_(ids))
        .order_by(Brood.dropped_from, Brood.id)
    )  # fmt: skip
    drops: dict[int, list[Drop]] = defaultdict(list)
    line_of: dict[int, int] = {}
    met_again: dict[int, tuple[date, date]] = {}
    for dam_id, id_, first, last, number, line_id, began, began_by in session.execute(statement):
        drops[dam_id].append(Drop(id_, first, last, number))
        line_of[dam_id] = line_id
        if began is not None:
            met_again[id_] = (began, began_by)
    return drops, line_of, met_again


def intervals(
    drops: Sequence[Drop], warm: Thermometers, spells: list[Spell], met_again: MetAgain
) -> DamHistory:
    """Return the days between successive drops, as spans where a drop lies between two dates.

    ``met_again`` is for a species that stores no sperm: she cannot carry before she meets a male
    again, so the days that she spent alone after a drop are no part of the interval.
    """
    found = []
    for earlier, later in pairwise(drops):
        began, began_by = earlier.dropped_from, earlier.dropped_to
        if later.id in met_again and met_again[later.id][0] > began:
            began, began_by = met_again[later.id]
        low = (later.dropped_from - began_by).days
        high = (later.dropped_to - began).days
        if high > 0:
            mean = _mean(warm, spells, began, later.dropped_to) if spells else None
            found.append(OwnInterval(max(low, 1), high, mean))
    return tuple(found)


def _mean(warm: Thermometers, spells: list[Spell], first: date, last: date) -> float | None:
    log = warm.log(spells, first)
    return log.mean(first, last) if log.readings else None


def _case(read: _Read, carrying: Carrying, dam: Fish) -> BirthCase:
    line = read.lines[dam.line_id]
    met = tuple(read.contacts.get(dam.id, ()))
    evidence = _evidence(read, carrying, dam, line, met)
    return BirthCase(carrying, dam, line, evidence, _fallback(carrying, evidence, met, read.today), met)


def _evidence(
    read: _Read, carrying: Carrying, dam: Fish, line: Line, met: tuple[Contact, ...]
) -> BirthEvidence:
    own = read.drops.get(dam.id, [])
    kin, others = _relatives(read, dam, line)
    start = _start(carrying, dam, met, read.today)
    virgin = isinstance(start, Exposed) and not own and dam.with_males is not WithMales.YES
    return BirthEvidence(
        species=species_of(line),
        today=read.today,
        start=start,
        virgin=virgin and (dam.with_males is WithMales.NO or dam.origin is Origin.HOMEBRED),
        history=read.histories.get(dam.id, ()),
        kin_history=kin,
        fishroom_history=others,
        brood_number=len(own) + 1
        if dam.origin is Origin.HOMEBRED or dam.with_males is WithMales.NO
        else None,
        temperature=read.thermometers.log(read.spells.get(dam.id, []), carrying.started_on),
        dam_length_mm=dam.length_mm,
        males_until=males_until(carrying, dam, met),
        own_brood_sizes=tuple(drop.fry for drop in own),
    )


def _relatives(read: _Read, dam: Fish, line: Line) -> tuple[LineHistory, tuple[LineHistory, ...]]:
    """Return the intervals of the other dams of her line, and of the other lines of her species."""
    kin: list[DamHistory] = []
    others: dict[int, list[DamHistory]] = defaultdict(list)
    for dam_id, history in read.histories.items():
        if dam_id == dam.id or not history:
            continue
        of = read.line_of[dam_id]
        if of == line.id:
            kin.append(history)
        elif read.lines[of].species == line.species:
            others[of].append(history)
    return tuple(kin), tuple(tuple(each) for each in others.values())


def _start(
    carrying: Carrying, dam: Fish, met: tuple[Contact, ...], today: date
) -> LastDrop | Exposed | Arrived:
    if carrying.basis is Basis.LAST_DROP:
        return LastDrop(carrying.started_on, carrying.started_until)
    if carrying.basis is Basis.EXPOSURE:
        return Exposed(carrying.started_on, _last_contact(carrying, met))
    known = {WithMales.YES: True, WithMales.NO: False, WithMales.UNKNOWN: None}
    return Arrived(min(carrying.started_on, today), known[dam.with_males])


def _last_contact(carrying: Carrying, met: tuple[Contact, ...]) -> date | None:
    """Return the last day with a male since the clock started; None while one is with her."""
    ends = [c.end for c in met if c.end is None or c.end >= carrying.started_on]
    if not ends:
        return carrying.started_until
    known = [end for end in ends if end is not None]
    return max(known) if len(known) == len(ends) else None


def males_until(carrying: Carrying, dam: Fish, met: tuple[Contact, ...]) -> date | None:
    """Return the day the last male left her; None while one is with her."""
    if carrying.basis is not Basis.LAST_DROP:
        return None
    if not met:
        return min(dam.arrived_on, carrying.started_on)
    if any(c.end is None for c in met):
        return None
    return max(c.end for c in met if c.end is not None)


def _fallback(
    carrying: Carrying, evidence: BirthEvidence, met: tuple[Contact, ...], today: date
) -> BirthEvidence | None:
    """Return the wait counted from the males she met here, for a bought dam whose own clock runs out."""
    here = [c for c in met if c.start >= carrying.started_on]
    if carrying.basis is not Basis.ARRIVAL or not here:
        return None
    ends = [c.end for c in here]
    last = None if None in ends else max(end for end in ends if end is not None)
    start = Exposed(min(here[0].start, today), last)
    return replace(evidence, start=start, virgin=False)
