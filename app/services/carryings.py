"""The spells in which dams carry: when a clock starts, and how it ends."""

from datetime import date

from sqlalchemy.orm import Session

from app.core.crossing import mature
from app.core.species import SPECIES, Reproduction
from app.core.wording import day_words
from app.queries.exposure import contacts
from app.services.journal import Entry
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.broods import Brood
from app.store.carryings import Basis, Carrying, Outcome
from app.store.fish import Fish, Sex, WithMales
from app.store.lines import Line
from app.store.session import find, rows
from app.store.stays import Stay


def open_carrying(session: Session, dam_id: int) -> Carrying | None:
    """Return the spell a dam is in."""
    found = rows(session, Carrying, Carrying.dam_id == dam_id, Carrying.ended_on.is_(None))
    return found[0] if found else None


def start(
    entry: Entry, dam: Fish, basis: Basis, on: date, until: date | None = None, **links: int | None
) -> Carrying:
    """Open a spell."""
    return entry.add(Carrying(dam_id=dam.id, basis=basis, started_on=on, started_until=until or on, **links))


def end(entry: Entry, carrying: Carrying, outcome: Outcome, on: date, brood: Brood | None = None) -> None:
    """Close a spell."""
    entry.change(carrying, outcome=outcome, ended_on=on, brood_id=brood.id if brood is not None else None)


def after_arrival(entry: Entry, dam: Fish) -> None:
    """Start the clock of a bought female who may carry."""
    if dam.sex is Sex.FEMALE and dam.with_males is not WithMales.NO:
        start(entry, dam, Basis.ARRIVAL, dam.arrived_on)


def after_drop(entry: Entry, dam: Fish, brood: Brood) -> None:
    """Start the clock of the next drop, as her species has it."""
    species = SPECIES[find(entry.session, Line, dam.line_id).species]
    if species.reproduction is Reproduction.NO_STORAGE:
        follow_dam(entry, dam, brood.dropped_to)
        return
    start(entry, dam, Basis.LAST_DROP, brood.dropped_from, brood.dropped_to, after_brood_id=brood.id)


def follow_drop(entry: Entry, dam: Fish, brood: Brood) -> Carrying | None:
    """End the spell that a drop ends and start the next; return the ended one, if there was one.

    A drop older than the newest clock is fitted in between: it splits the spell it falls into, or
    becomes the drop that the next clock could only guess.
    """
    spells = _spells(entry.session, dam)
    ended = _ended_by(spells, brood)
    old = (None, None) if ended is None else (ended.brood_id, ended.ended_on)
    if ended is not None:
        end(entry, ended, Outcome.DROPPED, brood.dropped_to, brood)
    if old[0] is not None:
        _between(entry, dam, brood, old)
    else:
        _start_next(entry, dam, brood, [s for s in spells if not _began_before(s, brood)])
    return ended


def _spells(session: Session, dam: Fish) -> list[Carrying]:
    return list(rows(session, Carrying, Carrying.dam_id == dam.id, order=(Carrying.started_on, Carrying.id)))


def _ended_by(spells: list[Carrying], brood: Brood) -> Carrying | None:
    """Return the newest spell that began before the drop and ran until then."""
    running = [
        spell
        for spell in spells
        if _began_before(spell, brood) and (spell.ended_on is None or spell.ended_on >= brood.dropped_from)
    ]
    return running[-1] if running else None


def _began_before(spell: Carrying, brood: Brood) -> bool:
    """Say whether a clock ran before the drop; a bought dam may drop on the day she comes."""
    if spell.basis is Basis.ARRIVAL:
        return spell.started_on <= brood.dropped_to
    return spell.started_until < brood.dropped_to


def _between(entry: Entry, dam: Fish, brood: Brood, old: tuple[int | None, date | None]) -> None:
    """Keep the later part of a spell that was thought to be one: from this drop to the next known one."""
    entry.add(
        Carrying(
            dam_id=dam.id,
            basis=Basis.LAST_DROP,
            started_on=brood.dropped_from,
            started_until=brood.dropped_to,
            after_brood_id=brood.id,
            brood_id=old[0],
            outcome=Outcome.DROPPED,
            ended_on=old[1],
        )
    )


def _start_next(entry: Entry, dam: Fish, brood: Brood, later: list[Carrying]) -> None:
    """Start the clock after a drop, or set right one that was started without knowing of it."""
    if not later:
        if dam.left_on is None:
            after_drop(entry, dam, brood)
        return
    guess = later[0]
    species = SPECIES[find(entry.session, Line, dam.line_id).species]
    if guess.after_brood_id is None and species.stores_sperm:
        entry.change(
            guess,
            basis=Basis.LAST_DROP,
            started_on=brood.dropped_from,
            started_until=brood.dropped_to,
            after_brood_id=brood.id,
        )


def redate(entry: Entry, dam: Fish, brood: Brood, was_on: date) -> None:
    """Follow a drop whose dates were corrected: the spell it ended, and the one it started."""
    species = SPECIES[find(entry.session, Line, dam.line_id).species]
    for spell in _spells(entry.session, dam):
        if spell.brood_id == brood.id:
            entry.change(spell, ended_on=brood.dropped_to)
        elif spell.after_brood_id == brood.id:
            entry.change(spell, started_on=brood.dropped_from, started_until=brood.dropped_to)
        elif not species.stores_sperm and spell.basis is Basis.EXPOSURE and spell.started_on == was_on:
            entry.change(spell, started_on=brood.dropped_to, started_until=brood.dropped_to)


def follow_exposure(entry: Entry, section_id: int, on: date) -> None:
    """Start the clock of every grown female in a section who meets a male there and has no clock yet."""
    session = entry.session
    standing = rows(
        session, Stay, Stay.section_id == section_id, Stay.to_on.is_(None), Stay.fish_id.is_not(None)
    )
    for stay in standing:
        fish = find(session, Fish, stay.fish_id)
        if fish.sex is Sex.FEMALE:
            follow_dam(entry, fish, max(on, stay.from_on))


def follow_dam(entry: Entry, dam: Fish, on: date, pairing_id: int | None = None) -> Carrying | None:
    """Start a dam's clock on ``on`` when she is grown, stands with a male then and has no clock yet."""
    session = entry.session
    species = SPECIES[find(session, Line, dam.line_id).species]
    if open_carrying(session, dam.id) is not None or not mature(species, dam.born_on, on):
        return None
    met = contacts(session, entry.actor.fishroom_id, entry.actor.today, [dam.id]).get(dam.id, [])
    spells = [c for c in met if c.start <= on and (c.end is None or c.end >= on)]
    if not spells:
        return None
    return start(entry, dam, Basis.EXPOSURE, on, pairing_id=pairing_id)


def settle(session: Session, actor: Actor, dam_id: int, outcome: Outcome) -> Carrying:
    """Answer an overdue forecast: she is not carrying, or the drop was missed or eaten."""
    actor.must_log()
    dam = find(session, Fish, dam_id)
    carrying = open_carrying(session, dam.id)
    if carrying is None:
        raise Refused(f"{dam.code} is not waiting for a drop.", "dam")
    entry = Entry(session, actor, "settle carrying")
    end(entry, carrying, outcome, actor.today)
    if outcome is Outcome.MISSED:
        _after_missed(entry, dam, carrying)
    else:
        follow_dam(entry, dam, actor.today)
    entry.tell(f"fish:{dam.id}", f"{dam.code}: {outcome.value}, {day_words(actor.today, actor.today)}")
    return carrying


def _after_missed(entry: Entry, dam: Fish, carrying: Carrying) -> None:
    """Start the next clock at a drop somewhere between the last clock's start and today."""
    species = SPECIES[find(entry.session, Line, dam.line_id).species]
    if species.reproduction is Reproduction.NO_STORAGE:
        follow_dam(entry, dam, entry.actor.today)
        return
    start(entry, dam, Basis.LAST_DROP, max(carrying.started_on, dam.arrived_on), entry.actor.today)
