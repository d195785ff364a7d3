"""The first fish of a new fishroom: a line with its dams and sires in one go."""

from dataclasses import dataclass
from datetime import date

from sqlalchemy.orm import Session

from app.core.species import SPECIES
from app.services.fish import Arrival, acquire
from app.services.lines import NewLine
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.fish import Fish, Sex, WithMales
from app.store.session import rows
from app.store.tanks import Section


@dataclass(frozen=True, slots=True)
class FirstFish:
    """What a keeper says of fish that already stand in the tank."""

    species: str
    line: str
    section_id: int
    females: int
    males: int
    born_on: date | None
    with_males: WithMales


def add_first_fish(session: Session, actor: Actor, told: FirstFish) -> list[Fish]:
    """Begin a line and add its females and males; they stand here already, so no quarantine."""
    actor.must_manage()
    if not told.females and not told.males:
        raise Refused("Give the number of females, of males, or of both.", "females")
    if told.species not in SPECIES:
        raise Refused("Choose the species.", "species")
    named = told.line.strip() or SPECIES[told.species].common_name.capitalize()
    _in_tank(session, told)
    made: list[Fish] = []
    for sex, number in ((Sex.FEMALE, told.females), (Sex.MALE, told.males)):
        if number:
            line_id = made[0].line_id if made else None
            made += acquire(session, actor, _arrival(told, actor.today, sex, number, named, line_id))
    return made


def _in_tank(session: Session, told: FirstFish) -> None:
    if not rows(session, Section, Section.id == told.section_id):
        raise Refused("Choose where they stand.", "section_id")


def _arrival(told: FirstFish, today: date, sex: Sex, number: int, line: str, line_id: int | None) -> Arrival:
    return Arrival(
        sex=sex,
        arrived_on=today,
        section_id=told.section_id,
        line_id=line_id,
        new_line=None if line_id is not None else NewLine(line, told.species),
        number=number,
        born_on=told.born_on,
        with_males=told.with_males if sex is Sex.FEMALE else WithMales.UNKNOWN,
        quarantine_days=0,
    )
