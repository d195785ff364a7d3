"""Correcting what is known of a fish, and letting its stay and its clock follow."""

from dataclasses import dataclass
from datetime import date

from sqlalchemy.orm import Session

from app.core.crossing import mature
from app.core.species import SPECIES
from app.queries.exposure import contacts
from app.services import carryings, quarantine
from app.services.codes import check_codes
from app.services.fish import taken_codes
from app.services.fish_checks import (
    Child,
    Water,
    check_days,
    check_length,
    check_line,
    check_own_past,
    check_parents,
    check_sex,
    check_texts,
    check_water,
)
from app.services.journal import Entry
from app.services.refusals import Refused
from app.services.stays import open_stay
from app.store.actor import Actor
from app.store.carryings import Basis, Carrying, Outcome
from app.store.fish import Fish, Origin, Precision, Sex, WithMales
from app.store.lines import Line
from app.store.session import find, rows
from app.store.stays import Stay


@dataclass(frozen=True, slots=True)
class FishTold:
    """Everything a keeper may correct of one fish."""

    code: str
    name: str
    sex: Sex
    line_id: int
    born_on: date | None
    born_precision: Precision
    arrived_on: date
    source: str
    with_males: WithMales
    length_mm: float | None
    water: Water
    quarantine_until: date | None
    dam_id: int | None
    sire_id: int | None
    note: str


def edit_fish(session: Session, actor: Actor, fish_id: int, told: FishTold) -> Fish:
    """Correct a fish; refuse what its own history or its kin rule out."""
    actor.must_manage()
    fish = find(session, Fish, fish_id)
    line = find(session, Line, told.line_id)
    _check(session, actor, fish, line, told)
    entry = Entry(session, actor, "edit fish")
    was_sex, was_on, was_until = fish.sex, fish.arrived_on, fish.quarantine_until
    entry.change(
        fish,
        code=" ".join(told.code.split()),
        name=told.name.strip(),
        sex=told.sex,
        line_id=line.id,
        born_on=told.born_on,
        born_precision=told.born_precision,
        arrived_on=told.arrived_on,
        source=told.source.strip(),
        with_males=told.with_males,
        length_mm=told.length_mm,
        origin_salinity_g_per_l=told.water.salinity_g_per_l,
        origin_gh_dh=told.water.gh_dh,
        origin_ph=told.water.ph,
        origin_temperature_c=told.water.temperature_c,
        quarantine_until=told.quarantine_until,
        dam_id=told.dam_id,
        sire_id=told.sire_id,
        note=told.note.strip(),
    )
    _follow_arrival(entry, fish, was_on)
    if fish.quarantine_until != was_until:
        quarantine.follow_date(entry, fish)
    if fish.left_on is None:
        _follow_sex(entry, fish, was_sex)
    entry.tell(f"fish:{fish.id}", f"{fish.code} corrected")
    return fish


def _check(session: Session, actor: Actor, fish: Fish, line: Line, told: FishTold) -> None:
    code = " ".join(told.code.split())
    check_codes([code], taken_codes(session) - {fish.code}, "code")
    check_texts(told.name, told.source)
    check_days(actor, told.born_on, told.born_precision, told.arrived_on)
    check_length(SPECIES[line.species], told.length_mm)
    check_water(told.water)
    check_sex(session, fish, told.sex)
    check_line(session, fish, line)
    check_own_past(session, actor, fish, SPECIES[line.species], told.born_on, told.arrived_on)
    if told.quarantine_until is not None and told.quarantine_until < told.arrived_on:
        raise Refused("Quarantine would end before the fish came. Give a later day.", "quarantine_until")
    child = Child(fish.id, code, line.species, told.born_on)
    check_parents(session, actor, child, told.dam_id, told.sire_id)


def _follow_arrival(entry: Entry, fish: Fish, was_on: date) -> None:
    """Let the first stay and a clock that began on arrival follow the day of arrival."""
    if fish.arrived_on == was_on:
        return
    stays = rows(entry.session, Stay, Stay.fish_id == fish.id, order=(Stay.from_on, Stay.id))
    if stays and (stays[0].from_on == was_on or stays[0].from_on < fish.arrived_on):
        entry.change(stays[0], from_on=fish.arrived_on)
    for spell in rows(entry.session, Carrying, Carrying.dam_id == fish.id, Carrying.basis == Basis.ARRIVAL):
        entry.change(spell, started_on=fish.arrived_on, started_until=fish.arrived_on)


def _follow_sex(entry: Entry, fish: Fish, was: Sex) -> None:
    """Close a clock that cannot run any more; start those that should."""
    running = carryings.open_carrying(entry.session, fish.id)
    if running is not None and _cannot_run(fish, running):
        carryings.end(entry, running, Outcome.NOT_CARRYING, entry.actor.today)
        running = None
    if fish.sex is Sex.FEMALE and running is None:
        _start_clock(entry, fish)
    if fish.sex is Sex.MALE and was is not Sex.MALE:
        stay = open_stay(entry.session, fish=fish)
        if stay is not None:
            carryings.follow_exposure(entry, stay.section_id, stay.from_on)


def _cannot_run(fish: Fish, running: Carrying) -> bool:
    if fish.sex is not Sex.FEMALE:
        return True
    return running.basis is Basis.ARRIVAL and fish.with_males is WithMales.NO


def _start_clock(entry: Entry, dam: Fish) -> None:
    """Start the clock of a female who never had one: at her arrival, or when she met males here."""
    session = entry.session
    if rows(session, Carrying, Carrying.dam_id == dam.id, Carrying.ended_on != entry.actor.today):
        return
    species = SPECIES[find(session, Line, dam.line_id).species]
    never = not rows(session, Carrying, Carrying.dam_id == dam.id)
    if never and dam.origin is not Origin.HOMEBRED and mature(species, dam.born_on, dam.arrived_on):
        carryings.after_arrival(entry, dam)
    met = contacts(session, entry.actor.fishroom_id, entry.actor.today, [dam.id]).get(dam.id, [])
    for contact in met:
        if contact.end is None and carryings.open_carrying(session, dam.id) is None:
            carryings.follow_dam(entry, dam, contact.start)
            carryings.follow_dam(entry, dam, entry.actor.today)
