"""Broodstock: adding bought or traded fish, correcting what is known of one, and fish that leave."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.crossing import mature
from app.core.species import SPECIES
from app.core.wording import day_words, listed
from app.services import carryings, plan_ends, quarantine
from app.services.codes import chosen_codes
from app.services.fish_checks import (
    UNKNOWN_WATER,
    Water,
    check_days,
    check_length,
    check_texts,
    check_water,
)
from app.services.journal import Entry
from app.services.lines import NewLine, begin_line, check_line
from app.services.refusals import Refused
from app.services.stays import not_ahead, place, section_words, still_here, take_out
from app.store.actor import Actor
from app.store.broods import Brood
from app.store.carryings import Outcome
from app.store.fish import Departure, Fish, Origin, Precision, Sex, WithMales
from app.store.lines import Line
from app.store.pairings import Pairing, PairingMember
from app.store.session import find, rows
from app.store.tanks import Section

QUARANTINE_DAYS = 28
"""Two to six weeks is common practice, no source."""
LONGEST_QUARANTINE = 365


@dataclass(frozen=True, slots=True)
class Arrival:
    """Fish of one kind that came together, and what is known of them.

    ``codes`` is what was typed: nothing for the line's next free ones, a word to be numbered on, or
    one code for each fish. ``new_line`` begins a line instead of ``line_id``.
    """

    sex: Sex
    arrived_on: date
    section_id: int
    line_id: int | None = None
    new_line: NewLine | None = None
    number: int = 1
    codes: str = ""
    name: str = ""
    origin: Origin = Origin.BOUGHT
    source: str = ""
    born_on: date | None = None
    born_precision: Precision = Precision.GUESS
    length_mm: float | None = None
    with_males: WithMales = WithMales.UNKNOWN
    water: Water = UNKNOWN_WATER
    quarantine_days: int = QUARANTINE_DAYS
    note: str = ""


def acquire(session: Session, actor: Actor, told: Arrival) -> list[Fish]:
    """Add bought or traded fish: where they stand, their quarantine, and the clocks of the females."""
    actor.must_log()
    kind, line_name = _line_told(session, actor, told)
    species = SPECIES[kind]
    check_texts(told.name, told.source)
    check_days(actor, told.born_on, told.born_precision, told.arrived_on)
    check_length(species, told.length_mm)
    check_water(told.water)
    if not 0 <= told.quarantine_days <= LONGEST_QUARANTINE:
        raise Refused(
            f"{told.quarantine_days} days of quarantine; give 0 for none, or up to {LONGEST_QUARANTINE}.",
            "quarantine_days",
        )
    codes = chosen_codes(told.codes, told.number, line_name, taken_codes(session))
    section = find(session, Section, told.section_id)
    entry = Entry(session, actor, "add fish")
    line = (
        begin_line(entry, told.new_line) if told.new_line is not None else find(session, Line, told.line_id)
    )
    made = [entry.add(_arrived(told, line, code)) for code in codes]
    for fish in made:
        place(entry, section.id, told.arrived_on, fish=fish)
        if mature(species, fish.born_on, told.arrived_on):
            carryings.after_arrival(entry, fish)
    carryings.follow_exposure(entry, section.id, told.arrived_on)
    quarantine.watch(entry, section.tank_id, made)
    entry.tell(f"fish:{made[0].id}", f"{listed(codes)} came into {section_words(session, section)}")
    return made


def _line_told(session: Session, actor: Actor, told: Arrival) -> tuple[str, str]:
    """Return the species and name of the line that is meant, existing or new."""
    if told.new_line is not None:
        actor.must_manage()
        check_line(session, told.new_line, name_field="new_line", species_field="new_species")
        return told.new_line.species, told.new_line.name
    if told.line_id is None:
        raise Refused("Choose the line, or begin a new one.", "line_id")
    line = find(session, Line, told.line_id)
    return line.species, line.name


def _arrived(told: Arrival, line: Line, code: str) -> Fish:
    days = told.quarantine_days
    return Fish(
        line_id=line.id,
        code=code,
        name=told.name.strip() if told.number == 1 else "",
        sex=told.sex,
        born_on=told.born_on,
        born_precision=told.born_precision,
        origin=told.origin,
        source=told.source.strip(),
        arrived_on=told.arrived_on,
        with_males=told.with_males if told.sex is not Sex.MALE else WithMales.UNKNOWN,
        length_mm=told.length_mm,
        origin_salinity_g_per_l=told.water.salinity_g_per_l,
        origin_gh_dh=told.water.gh_dh,
        origin_ph=told.water.ph,
        origin_temperature_c=told.water.temperature_c,
        quarantine_until=told.arrived_on + timedelta(days=days) if days else None,
        note=told.note.strip(),
    )


def taken_codes(session: Session) -> set[str]:
    """Return every code in use in this fishroom."""
    room = session.info["fishroom_id"]
    return set(session.scalars(select(Fish.code).where(Fish.fishroom_id == room)))


def leave(
    session: Session, actor: Actor, fish_id: int, *, on: date, departure: Departure, note: str = ""
) -> Fish:
    """Log that a fish died or was lost."""
    actor.must_log()
    fish = find(session, Fish, fish_id)
    if departure is Departure.REHOMED:
        raise Refused("A fish that goes to another keeper is logged as a rehoming.", "departure")
    check_leaving(session, actor, fish, on)
    entry = Entry(session, actor, "fish left")
    see_off(entry, fish, on, departure)
    if note.strip():
        entry.change(fish, note="\n".join(filter(None, (fish.note, note.strip()))))
    entry.tell(f"fish:{fish.id}", f"{fish.code} {_gone_words(departure)} on {day_words(on, actor.today)}")
    return fish


def _gone_words(departure: Departure) -> str:
    return "was lost" if departure is Departure.LOST else departure.value


def check_leaving(session: Session, actor: Actor, fish: Fish, on: date, field: str = "on") -> None:
    """Refuse a day on which a fish cannot have left."""
    still_here(fish)
    not_ahead(actor, on, field)
    if on < fish.arrived_on:
        raise Refused(
            f"{fish.code} came on {day_words(fish.arrived_on, actor.today)}. Give that day or later.", field
        )
    broods = rows(session, Brood, Brood.dam_id == fish.id, Brood.dropped_to > on)
    if broods:
        raise Refused(
            f"{fish.code} dropped on {day_words(broods[-1].dropped_to, actor.today)}. "
            "Give that day or later.",
            field,
        )


def see_off(entry: Entry, fish: Fish, on: date, departure: Departure) -> None:
    """Let a fish leave: its stay ends, its wait closes, and pairings that have no one left on a side end."""
    take_out(entry, on, fish=fish)
    carrying = carryings.open_carrying(entry.session, fish.id)
    if carrying is not None:
        carryings.end(entry, carrying, Outcome.LEFT, on)
    entry.change(fish, left_on=on, departure=departure)
    plan_ends.follow_fish(entry, fish, on)
    for pairing in _running_pairings(entry.session, fish):
        if not _others_left(entry.session, pairing, fish):
            entry.change(pairing, ended_on=max(on, pairing.started_on))


def _running_pairings(session: Session, fish: Fish) -> Sequence[Pairing]:
    mine = select(PairingMember.pairing_id).where(PairingMember.fish_id == fish.id)
    return rows(session, Pairing, Pairing.id.in_(mine), Pairing.ended_on.is_(None))


def _others_left(session: Session, pairing: Pairing, fish: Fish) -> bool:
    """Say whether another fish of the same sex still takes part."""
    members = select(PairingMember.fish_id).where(PairingMember.pairing_id == pairing.id)
    return bool(
        rows(
            session,
            Fish,
            Fish.id.in_(members),
            Fish.sex == fish.sex,
            Fish.left_on.is_(None),
            Fish.id != fish.id,
        )
    )
