"""Pairings: putting sires and dams together, changing who takes part, and ending it."""

from collections.abc import Sequence
from datetime import date

from sqlalchemy.orm import Session

from app.core.crossing import can_cross, fertile_age_days, mature
from app.core.species import SPECIES
from app.core.wording import day_words, listed
from app.services import carryings
from app.services.journal import Entry
from app.services.refusals import Refused
from app.services.stays import not_ahead, open_stay, place, section_words
from app.store.actor import Actor
from app.store.broods import Brood
from app.store.carryings import Basis
from app.store.fish import Fish, Sex
from app.store.lines import Line
from app.store.pairings import Pairing, PairingMember
from app.store.projects import Project
from app.store.session import find, rows
from app.store.tanks import Section

FIELDS = {Sex.FEMALE: "dam_ids", Sex.MALE: "sire_ids"}
ROLES = {Sex.FEMALE: "dam", Sex.MALE: "sire"}


def make_pairing(
    session: Session,
    actor: Actor,
    *,
    section_id: int,
    dam_ids: Sequence[int],
    sire_ids: Sequence[int],
    started_on: date,
    project_id: int | None = None,
    note: str = "",
    move: bool = True,
) -> Pairing:
    """Put sires and dams together in a section from a day on; dams without a clock get one."""
    actor.must_log()
    not_ahead(actor, started_on, "started_on")
    section = find(session, Section, section_id)
    dams = _chosen(session, dam_ids, Sex.FEMALE)
    sires = _chosen(session, sire_ids, Sex.MALE)
    check_members(session, actor, [*dams, *sires], section, started_on)
    if project_id is not None:
        find(session, Project, project_id)
    entry = Entry(session, actor, "make pairing")
    pairing = entry.add(
        Pairing(section_id=section.id, project_id=project_id, started_on=started_on, note=note.strip())
    )
    for fish in [*dams, *sires]:
        entry.add(PairingMember(pairing_id=pairing.id, fish_id=fish.id))
        _bring(entry, fish, section, started_on, move=move)
    _start_clocks(entry, pairing, dams, started_on)
    carryings.follow_exposure(entry, section.id, started_on)
    entry.tell(
        f"pairing:{pairing.id}",
        f"{listed([fish.code for fish in dams])} put with {listed([fish.code for fish in sires])} "
        f"in {section_words(session, section)}",
    )
    return pairing


def _chosen(session: Session, ids: Sequence[int], sex: Sex) -> list[Fish]:
    field, role = FIELDS[sex], ROLES[sex]
    if not ids:
        raise Refused(f"Choose at least one {role}.", field)
    fish = [find(session, Fish, each) for each in dict.fromkeys(ids)]
    for one in fish:
        if one.sex is not sex:
            raise Refused(f"{one.code} is {one.sex.value}; choose it on the other side.", field)
    return fish


def check_members(
    session: Session, actor: Actor, members: Sequence[Fish], section: Section, on: date
) -> None:
    """Refuse fish that cannot be together in ``section`` from ``on``."""
    for fish in members:
        _check_one(session, actor, fish, on)
    _check_crossing(session, members)
    _check_free(session, actor, members, section)


def _check_one(session: Session, actor: Actor, fish: Fish, on: date) -> None:
    field = FIELDS[fish.sex]
    if fish.left_on is not None:
        raise Refused(f"{fish.code} left on {day_words(fish.left_on, actor.today)}. Choose another.", field)
    if on < fish.arrived_on:
        raise Refused(
            f"{fish.code} came on {day_words(fish.arrived_on, actor.today)}, "
            f"after {day_words(on, actor.today)}. Start the pairing then or later.",
            "started_on",
        )
    species = SPECIES[find(session, Line, fish.line_id).species]
    if fish.born_on is not None and on < fish.born_on:
        raise Refused(
            f"{fish.code} was born on {day_words(fish.born_on, actor.today)}, "
            f"after {day_words(on, actor.today)}. Start later, or correct the birth date.",
            "started_on",
        )
    if fish.born_on is not None and not mature(species, fish.born_on, on):
        raise Refused(
            f"{fish.code} was {(on - fish.born_on).days} days old on {day_words(on, actor.today)}; "
            f"{species.common_name} is not grown before {fertile_age_days(species):g} days. "
            "Wait, or correct the birth date.",
            field,
        )


def _check_crossing(session: Session, members: Sequence[Fish]) -> None:
    species = {fish.id: find(session, Line, fish.line_id).species for fish in members}
    for dam in (fish for fish in members if fish.sex is Sex.FEMALE):
        for sire in (fish for fish in members if fish.sex is Sex.MALE):
            hers, his = SPECIES[species[dam.id]], SPECIES[species[sire.id]]
            if not can_cross(hers.key, his.key):
                raise Refused(
                    f"{dam.code} ({hers.common_name}) and {sire.code} ({his.common_name}) have no young "
                    "together. Take one of them out.",
                    "sire_ids",
                )


def _check_free(session: Session, actor: Actor, members: Sequence[Fish], section: Section) -> None:
    """Refuse fish in a pairing elsewhere, and dams that are in one here already."""
    running = {pairing.id: pairing for pairing in rows(session, Pairing, Pairing.ended_on.is_(None))}
    parts = rows(session, PairingMember, PairingMember.pairing_id.in_(running))
    taken = {member.fish_id: running[member.pairing_id] for member in parts}
    for fish in members:
        pairing = taken.get(fish.id)
        if pairing is None or (fish.sex is Sex.MALE and pairing.section_id == section.id):
            continue
        where = section_words(session, find(session, Section, pairing.section_id))
        raise Refused(
            f"{fish.code} is in the pairing in {where} since {day_words(pairing.started_on, actor.today)}. "
            "End that pairing, or take the fish out of it first.",
            FIELDS[fish.sex],
        )


def _bring(entry: Entry, fish: Fish, section: Section, on: date, *, move: bool) -> None:
    """Place a fish in the section unless it stands there already."""
    stay = open_stay(entry.session, fish=fish)
    if stay is not None and on < stay.from_on:
        where = section_words(entry.session, find(entry.session, Section, stay.section_id))
        raise Refused(
            f"{fish.code} came to {where} on {day_words(stay.from_on, entry.actor.today)}. "
            "Start the pairing then or later, or take that move back first.",
            "started_on",
        )
    if stay is not None and stay.section_id == section.id:
        return
    if not move:
        raise Refused(
            f"{fish.code} does not stand in {section_words(entry.session, section)}. Let it be moved there.",
            FIELDS[fish.sex],
        )
    place(entry, section.id, on, fish=fish)


def _start_clocks(entry: Entry, pairing: Pairing, dams: Sequence[Fish], on: date) -> None:
    """Start the clock of each dam that has none; one that began with the same males that day is tied."""
    for dam in dams:
        running = carryings.open_carrying(entry.session, dam.id)
        if running is None:
            carryings.follow_dam(entry, dam, on, pairing.id)
        elif running.basis is Basis.EXPOSURE and running.pairing_id is None and running.started_on >= on:
            entry.change(running, pairing_id=pairing.id)


def end_pairing(
    session: Session, actor: Actor, pairing_id: int, *, on: date, males_to: int | None = None
) -> Pairing:
    """End a pairing; its sires move on where a section is given."""
    actor.must_log()
    pairing = _running(session, actor, pairing_id)
    not_ahead(actor, on, "on")
    if on < pairing.started_on:
        raise Refused(
            f"The pairing began on {day_words(pairing.started_on, actor.today)}. Give that day or later.",
            "on",
        )
    if males_to == pairing.section_id:
        raise Refused("The males stand there already. Choose another place, or leave it empty.", "males_to")
    entry = Entry(session, actor, "end pairing")
    entry.change(pairing, ended_on=on)
    if males_to is not None:
        _move_sires(entry, pairing, males_to, on)
    where = section_words(session, find(session, Section, pairing.section_id))
    entry.tell(f"pairing:{pairing.id}", f"Pairing in {where} ended")
    return pairing


def _move_sires(entry: Entry, pairing: Pairing, section_id: int, on: date) -> None:
    for fish in members_of(entry.session, pairing):
        stay = open_stay(entry.session, fish=fish)
        if fish.sex is Sex.MALE and stay is not None and stay.section_id == pairing.section_id:
            place(entry, section_id, on, fish=fish)
    carryings.follow_exposure(entry, section_id, on)


def members_of(session: Session, pairing: Pairing) -> list[Fish]:
    """Return who takes part, in the order they were put in."""
    members = rows(session, PairingMember, PairingMember.pairing_id == pairing.id)
    found = {fish.id: fish for fish in rows(session, Fish, Fish.id.in_([m.fish_id for m in members]))}
    return [found[member.fish_id] for member in members]


def add_member(session: Session, actor: Actor, pairing_id: int, *, fish_id: int, on: date) -> Pairing:
    """Put one more fish into a running pairing."""
    actor.must_log()
    pairing = _running(session, actor, pairing_id)
    not_ahead(actor, on, "on")
    fish = find(session, Fish, fish_id)
    members = members_of(session, pairing)
    _check_joining(actor, pairing, members, fish, on)
    section = find(session, Section, pairing.section_id)
    try:
        check_members(session, actor, [fish], section, on)
        _check_crossing(session, [*members, fish])
        entry = Entry(session, actor, "add to pairing")
        _bring(entry, fish, section, on, move=True)
    except Refused as refusal:
        raise Refused(refusal.message, "on" if refusal.field == "started_on" else "fish_id") from refusal
    entry.add(PairingMember(pairing_id=pairing.id, fish_id=fish.id))
    if fish.sex is Sex.FEMALE:
        _start_clocks(entry, pairing, [fish], on)
    carryings.follow_exposure(entry, section.id, on)
    entry.tell(f"pairing:{pairing.id}", f"{fish.code} joined in {section_words(session, section)}")
    return pairing


def _check_joining(actor: Actor, pairing: Pairing, members: Sequence[Fish], fish: Fish, on: date) -> None:
    if fish.id in {member.id for member in members}:
        raise Refused(f"{fish.code} is in this pairing already.", "fish_id")
    if fish.sex not in FIELDS:
        raise Refused(f"{fish.code} is not sexed yet. Say first what it is.", "fish_id")
    if on < pairing.started_on:
        raise Refused(
            f"The pairing began on {day_words(pairing.started_on, actor.today)}. Give that day or later.",
            "on",
        )


def remove_member(
    session: Session, actor: Actor, pairing_id: int, *, fish_id: int, to_section_id: int | None, on: date
) -> Pairing:
    """Take one fish out of a running pairing, to another section where one is given."""
    actor.must_log()
    pairing = _running(session, actor, pairing_id)
    not_ahead(actor, on, "on")
    fish = find(session, Fish, fish_id)
    _check_leaving(session, pairing, fish)
    entry = Entry(session, actor, "take out of pairing")
    member = rows(
        session, PairingMember, PairingMember.pairing_id == pairing.id, PairingMember.fish_id == fish.id
    )[0]
    entry.remove(member)
    if to_section_id is not None and fish.left_on is None:
        place(entry, to_section_id, on, fish=fish)
        carryings.follow_exposure(entry, to_section_id, on)
    entry.tell(f"pairing:{pairing.id}", f"{fish.code} taken out of the pairing")
    return pairing


def _check_leaving(session: Session, pairing: Pairing, fish: Fish) -> None:
    members = members_of(session, pairing)
    if fish.id not in {member.id for member in members}:
        raise Refused(f"{fish.code} is not in this pairing.", "fish_id")
    if sum(member.sex is fish.sex for member in members) == 1:
        raise Refused(f"{fish.code} is the only {ROLES[fish.sex]} here. End the pairing instead.", "fish_id")
    if rows(session, Brood, Brood.pairing_id == pairing.id, Brood.dam_id == fish.id):
        raise Refused(
            f"{fish.code} has dropped in this pairing, so she stays in its record. Move her instead.",
            "fish_id",
        )


def _running(session: Session, actor: Actor, pairing_id: int) -> Pairing:
    pairing = find(session, Pairing, pairing_id)
    if pairing.ended_on is not None:
        raise Refused(
            f"This pairing ended on {day_words(pairing.ended_on, actor.today)}. Make a new one.", "pairing"
        )
    return pairing
