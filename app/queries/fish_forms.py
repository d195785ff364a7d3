"""What the forms about fish are chosen from and begin with."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.crossing import can_cross
from app.core.species import SPECIES
from app.queries.occupants import label_of
from app.queries.sections import Place, open_places
from app.store.actor import Actor
from app.store.fish import Fish, Sex
from app.store.lines import Line
from app.store.session import find, rows
from app.store.stays import Stay

Pairs = tuple[tuple[int, str], ...]


@dataclass(frozen=True, slots=True)
class Arriving:
    """Where fish can be put, and the lines they can be of."""

    places: tuple[Place, ...]
    lines: Pairs


@dataclass(frozen=True, slots=True)
class FishAsked:
    """One fish as its forms begin, and what can be chosen for it."""

    id: int
    label: str
    code: str
    name: str
    sex: str
    line_id: int
    born_on: date | None
    born_precision: str
    arrived_on: date
    source: str
    with_males: str
    length_mm: float | None
    salinity_g_per_l: float | None
    gh_dh: float | None
    ph: float | None
    temperature_c: float | None
    quarantine_until: date | None
    dam_id: int | None
    sire_id: int | None
    note: str
    left: bool
    where: str
    lines: Pairs
    dams: Pairs
    sires: Pairs
    places: tuple[Place, ...]


def arriving(session: Session, actor: Actor) -> Arriving:
    """Read what a new fish is asked about."""
    return Arriving(tuple(open_places(session, actor)), _lines(session))


def _lines(session: Session) -> Pairs:
    lines = rows(session, Line, order=(Line.name, Line.id))
    return tuple((line.id, f"{line.name} ({SPECIES[line.species].common_name})") for line in lines)


def fish_asked(session: Session, actor: Actor, fish_id: int) -> FishAsked:
    """Read one fish with everything its forms offer."""
    fish = find(session, Fish, fish_id)
    kin = _possible_parents(session, actor, fish)
    stays = rows(session, Stay, Stay.fish_id == fish.id, Stay.to_on.is_(None))
    every = open_places(session, actor)
    here = {stay.section_id for stay in stays}
    return FishAsked(
        fish.id,
        label_of(fish),
        fish.code,
        fish.name,
        fish.sex.value,
        fish.line_id,
        fish.born_on,
        fish.born_precision.value,
        fish.arrived_on,
        fish.source,
        fish.with_males.value,
        fish.length_mm,
        fish.origin_salinity_g_per_l,
        fish.origin_gh_dh,
        fish.origin_ph,
        fish.origin_temperature_c,
        fish.quarantine_until,
        fish.dam_id,
        fish.sire_id,
        fish.note,
        fish.left_on is not None,
        next((place.words for place in every if place.section_id in here), ""),
        _lines(session),
        _of_sex(kin, Sex.FEMALE),
        _of_sex(kin, Sex.MALE),
        tuple(place for place in every if place.section_id not in here),
    )


def _possible_parents(session: Session, actor: Actor, fish: Fish) -> list[tuple[Fish, Line]]:
    """Return every fish of a kind that can have such young, those that left too."""
    kind = find(session, Line, fish.line_id).species
    statement = (
        select(Fish, Line)
        .join(Line, Line.id == Fish.line_id)
        .where(Fish.fishroom_id == actor.fishroom_id, Fish.id != fish.id)
        .order_by(Line.id != fish.line_id, Line.name, Fish.code)
    )
    return [(other, line) for other, line in session.execute(statement) if can_cross(line.species, kind)]


def _of_sex(kin: Sequence[tuple[Fish, Line]], sex: Sex) -> Pairs:
    return tuple((fish.id, f"{label_of(fish)}, {line.name}") for fish, line in kin if fish.sex is sex)
