"""What makes the record of a fish impossible: its days, its measures, its sex and its parents."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import ColumnElement, select
from sqlalchemy.orm import Session

from app.core.crossing import can_cross, mature
from app.core.species import SPECIES, Species
from app.core.wording import day_words
from app.services.refusals import Refused
from app.services.stays import not_ahead
from app.store.actor import Actor
from app.store.broods import Brood
from app.store.fish import Departure, Fish, Precision, Sex
from app.store.lines import Line
from app.store.pairings import PairingMember
from app.store.session import find, rows
from app.store.signs import Sign
from app.store.stays import Stay

LONGEST_TIMES = 1.8
"""How many times the final length of the bigger sex is taken for a slip of the finger (judgement)."""
LONGEST_NAME = 60
LONGEST_SOURCE = 120


@dataclass(frozen=True, slots=True)
class Water:
    """The water a fish was raised in; None where it is not known."""

    salinity_g_per_l: float | None = None
    gh_dh: float | None = None
    ph: float | None = None
    temperature_c: float | None = None


UNKNOWN_WATER = Water()

RANGES = {
    "salinity_g_per_l": (0.0, 42.0, "g/L"),
    "gh_dh": (0.0, 60.0, "°dH"),
    "ph": (3.0, 11.0, ""),
    "temperature_c": (5.0, 40.0, "°C"),
}


def check_water(water: Water) -> None:
    """Refuse water no fish comes from."""
    for field, (low, high, unit) in RANGES.items():
        value = getattr(water, field)
        if value is not None and not low <= value <= high:
            seen = f"{value:g} {unit}".strip()
            raise Refused(f"{seen} cannot be. Give {low:g} to {high:g}, or leave it empty.", field)


def check_texts(name: str, source: str) -> None:
    """Refuse words that do not fit."""
    if len(name.strip()) > LONGEST_NAME:
        raise Refused(f"Give a name of at most {LONGEST_NAME} letters.", "name")
    if len(source.strip()) > LONGEST_SOURCE:
        raise Refused(
            f"Give the source in at most {LONGEST_SOURCE} letters, and the rest as a note.", "source"
        )


def check_days(actor: Actor, born_on: date | None, precision: Precision, arrived_on: date) -> None:
    """Refuse days that lie ahead, or a birth after the arrival."""
    not_ahead(actor, arrived_on, "arrived_on")
    if born_on is None:
        return
    not_ahead(actor, born_on, "born_on")
    if born_on > arrived_on:
        raise Refused(
            f"Born on {day_words(born_on, actor.today)}, after it came on "
            f"{day_words(arrived_on, actor.today)}. Give an earlier birth date ({precision.value} will do).",
            "born_on",
        )


def check_length(species: Species, length_mm: float | None) -> None:
    """Refuse a length no fish of the species reaches."""
    if length_mm is None:
        return
    longest = LONGEST_TIMES * max(species.linf_f_mm, species.linf_m_mm)
    if not 0 < length_mm <= longest:
        raise Refused(
            f"{length_mm:g} mm is not likely for {species.common_name}; they grow to about "
            f"{max(species.linf_f_mm, species.linf_m_mm):g} mm. Measure again.",
            "length_mm",
        )


def _young_of(session: Session, is_parent: ColumnElement[bool]) -> Sequence[Fish]:
    return rows(session, Fish, is_parent)


def check_sex(session: Session, fish: Fish, sex: Sex) -> None:
    """Refuse a sex that what was logged rules out."""
    if sex is fish.sex:
        return
    if rows(session, Brood, Brood.dam_id == fish.id) or _young_of(session, Fish.dam_id == fish.id):
        raise Refused(f"{fish.code} is a dam: a drop or young of hers are logged.", "sex")
    if _young_of(session, Fish.sire_id == fish.id):
        raise Refused(f"{fish.code} is a sire: young of his are logged.", "sex")
    if rows(session, PairingMember, PairingMember.fish_id == fish.id):
        raise Refused(
            f"{fish.code} took part in a pairing as {fish.sex.value}. Take it out of the pairing first.",
            "sex",
        )
    if sex is Sex.MALE and rows(session, Sign, Sign.fish_id == fish.id):
        raise Refused(f"Signs of a coming drop are logged for {fish.code}. Take them back first.", "sex")


def check_line(session: Session, fish: Fish, line: Line) -> None:
    """Refuse a line of another species once young or drops hang on the fish."""
    if SPECIES[find(session, Line, fish.line_id).species] is SPECIES[line.species]:
        return
    bred = any(
        (
            rows(session, Brood, Brood.dam_id == fish.id),
            _young_of(session, (Fish.dam_id == fish.id) | (Fish.sire_id == fish.id)),
            rows(session, PairingMember, PairingMember.fish_id == fish.id),
        )
    )
    if bred:
        raise Refused(
            f"{fish.code} was paired or has young, so its species stands. Choose a line of the same species.",
            "line_id",
        )


def check_own_past(
    session: Session, actor: Actor, fish: Fish, species: Species, born_on: date | None, arrived_on: date
) -> None:
    """Refuse days that what was logged later rules out: drops, moves, young, leaving."""
    broods = rows(session, Brood, Brood.dam_id == fish.id, order=(Brood.dropped_from, Brood.id))
    if broods:
        first = broods[0]
        if arrived_on > first.dropped_from:
            raise Refused(
                f"{fish.code} dropped on {day_words(first.dropped_from, actor.today)}. She came then or "
                "earlier.",
                "arrived_on",
            )
        if born_on is not None and not mature(species, born_on, first.dropped_to):
            raise Refused(
                f"{fish.code} dropped on {day_words(first.dropped_to, actor.today)}; born on "
                f"{day_words(born_on, actor.today)} she was too young. Give an earlier day.",
                "born_on",
            )
    _check_stays(session, actor, fish, arrived_on)
    if fish.left_on is not None and arrived_on > fish.left_on:
        raise Refused(
            f"{fish.code} left on {day_words(fish.left_on, actor.today)}. It came then or earlier.",
            "arrived_on",
        )
    _check_young(session, actor, fish, born_on)


def _check_stays(session: Session, actor: Actor, fish: Fish, arrived_on: date) -> None:
    stays = rows(session, Stay, Stay.fish_id == fish.id, order=(Stay.from_on, Stay.id))
    moved = stays[0].to_on if stays else None
    if moved is not None and arrived_on > moved:
        raise Refused(
            f"{fish.code} was moved on {day_words(moved, actor.today)}. It came then or earlier.",
            "arrived_on",
        )


def _check_young(session: Session, actor: Actor, fish: Fish, born_on: date | None) -> None:
    young = rows(
        session,
        Fish,
        (Fish.dam_id == fish.id) | (Fish.sire_id == fish.id),
        Fish.born_on.is_not(None),
        order=(Fish.born_on, Fish.id),
    )
    if born_on is None or not young or young[0].born_on is None or born_on < young[0].born_on:
        return
    raise Refused(
        f"Its young {young[0].code} was born on {day_words(young[0].born_on, actor.today)}. "
        "A parent is older; give an earlier day.",
        "born_on",
    )


@dataclass(frozen=True, slots=True)
class Child:
    """What the check of parents needs of the young."""

    id: int
    code: str
    species: str
    born_on: date | None


def check_parents(
    session: Session, actor: Actor, child: Child, dam_id: int | None, sire_id: int | None
) -> None:
    """Refuse parents of the wrong sex, age or kind, and a fish that would be its own ancestor."""
    for parent_id, field, sex in ((dam_id, "dam_id", Sex.FEMALE), (sire_id, "sire_id", Sex.MALE)):
        if parent_id is None:
            continue
        parent = find(session, Fish, parent_id)
        if parent.id == child.id:
            raise Refused(f"{child.code} cannot be its own parent.", field)
        if parent.sex is not sex:
            role = "dam" if sex is Sex.FEMALE else "sire"
            raise Refused(
                f"{parent.code} is {_sex_words(parent)}, so it is no {role}. "
                "Choose another, or correct its sex.",
                field,
            )
        _check_parent(session, actor, child, parent, field)
        if child.id in _ancestors(session, parent.id):
            raise Refused(
                f"{child.code} is an ancestor of {parent.code}, so {parent.code} cannot be its parent.", field
            )


def _sex_words(fish: Fish) -> str:
    return "not sexed yet" if fish.sex is Sex.UNKNOWN else fish.sex.value


def _check_parent(session: Session, actor: Actor, child: Child, parent: Fish, field: str) -> None:
    kind = find(session, Line, parent.line_id).species
    if not can_cross(kind, child.species):
        raise Refused(
            f"{parent.code} is a {SPECIES[kind].common_name} and has no young like {child.code}, a "
            f"{SPECIES[child.species].common_name}.",
            field,
        )
    if child.born_on is None:
        return
    if parent.born_on is not None and parent.born_on >= child.born_on:
        raise Refused(
            f"{parent.code} was born on {day_words(parent.born_on, actor.today)}, no earlier than "
            f"{child.code} on {day_words(child.born_on, actor.today)}. Choose another, or correct a date.",
            field,
        )
    died = parent.left_on if parent.departure is Departure.DIED and field == "dam_id" else None
    if died is not None and died < child.born_on:
        raise Refused(
            f"{parent.code} died on {day_words(died, actor.today)}, before {child.code} was born on "
            f"{day_words(child.born_on, actor.today)}.",
            field,
        )


def _ancestors(session: Session, fish_id: int) -> set[int]:
    """Return every ancestor of a fish, and itself, in one statement."""
    room = session.info["fishroom_id"]
    statement = select(Fish.id, Fish.dam_id, Fish.sire_id).where(Fish.fishroom_id == room)
    parents = {child: (dam, sire) for child, dam, sire in session.execute(statement)}
    found: set[int] = set()
    waiting = [fish_id]
    while waiting:
        at = waiting.pop()
        if at not in found:
            found.add(at)
            waiting += [parent for parent in parents.get(at, ()) if parent is not None]
    return found
