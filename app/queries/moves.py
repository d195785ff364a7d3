"""Moving fish: who stands where and can be moved, and who would meet whom there."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.crossing import can_cross, mature
from app.core.species import SPECIES
from app.core.wording import listed, many
from app.queries.books import books
from app.queries.occupants import Occupant, label_of, occupants_by_section
from app.queries.sections import Place, open_places, places
from app.store.actor import Actor
from app.store.batches import Batch, BatchSex
from app.store.fish import Fish
from app.store.lines import Line
from app.store.stays import Stay

NOWHERE = "Standing nowhere"


@dataclass(frozen=True, slots=True)
class Candidate:
    """One fish or batch that can be moved; ``key`` is what the form sends."""

    key: str
    words: str


@dataclass(frozen=True, slots=True)
class Group:
    """Who stands in one section, or nowhere (``tank_id`` None)."""

    words: str
    tank_id: int | None
    who: tuple[Candidate, ...]


@dataclass(frozen=True, slots=True)
class MovePage:
    """Everybody that can be moved, by where they stand (``tank_id`` first), and where to."""

    groups: tuple[Group, ...]
    places: tuple[Place, ...]
    tank_id: int | None

    @property
    def everybody(self) -> tuple[Candidate, ...]:
        """All candidates, in the order they are shown."""
        return tuple(one for group in self.groups for one in group.who)

    @property
    def near(self) -> tuple[str, ...]:
        """The keys of those who stand in the tank asked for, or nowhere."""
        found = (group for group in self.groups if group.tank_id in {self.tank_id, None})
        return tuple(one.key for group in found for one in group.who)


def move_page(session: Session, actor: Actor, tank_id: int | None = None) -> MovePage:
    """Read who can be moved; those of ``tank_id`` come first, then whoever stands nowhere."""
    standing = occupants_by_section(session, actor)
    groups = [
        Group(place.words, place.tank_id, tuple(map(_candidate, standing[place.section_id])))
        for place in places(session, actor).values()
        if standing.get(place.section_id)
    ]
    homeless = _standing_nowhere(session, actor)
    if homeless:
        groups.append(Group(NOWHERE, None, tuple(map(_candidate, homeless))))
    groups.sort(key=lambda group: (group.tank_id != tank_id, group.tank_id is not None))
    return MovePage(tuple(groups), tuple(open_places(session, actor)), tank_id)


def _candidate(one: Occupant) -> Candidate:
    if one.kind == "batch":
        return Candidate(f"batch-{one.id}", f"{one.label}: {many(one.number, 'young', 'young')}")
    word = {"female": "dam", "male": "sire"}.get(one.sex, "not sexed")
    return Candidate(f"fish-{one.id}", f"{one.label}, {word}")


def _standing_nowhere(session: Session, actor: Actor) -> list[Occupant]:
    """Return fish that are here and batches that are open, but stand in no section."""
    room = actor.fishroom_id
    fish = session.execute(
        select(Fish, Line)
        .join(Line, Line.id == Fish.line_id)
        .outerjoin(Stay, (Stay.fish_id == Fish.id) & Stay.to_on.is_(None))
        .where(Fish.fishroom_id == room, Fish.left_on.is_(None), Stay.id.is_(None))
        .order_by(Fish.code)
    )
    adults = [_as_occupant(one, line) for one, line in fish]
    batches = session.execute(
        select(Batch, Line)
        .join(Line, Line.id == Batch.line_id)
        .outerjoin(Stay, (Stay.batch_id == Batch.id) & Stay.to_on.is_(None))
        .where(Batch.fishroom_id == room, Batch.closed_on.is_(None), Stay.id.is_(None))
        .order_by(Batch.code)
    ).all()
    alive = books(session, room, [batch.id for batch, _ in batches])
    return [*adults, *(_as_batch(batch, line, alive[batch.id].alive) for batch, line in batches)]


def _as_occupant(fish: Fish, line: Line) -> Occupant:
    name = SPECIES[line.species].common_name
    return Occupant(
        "fish", fish.id, label_of(fish), line.id, line.name, line.species, name, fish.sex.value, 1,
        fish.born_on, fish.arrived_on,
    )  # fmt: skip


def _as_batch(batch: Batch, line: Line, alive: int) -> Occupant:
    name = SPECIES[line.species].common_name
    return Occupant(
        "batch", batch.id, batch.code, line.id, line.name, line.species, name, batch.sex.value, alive,
        batch.born_from, batch.started_on,
    )  # fmt: skip


def meetings(
    session: Session, actor: Actor, section_id: int, keys: Sequence[str], on: date
) -> tuple[str, ...]:
    """Say which dams would newly stand with males they can cross with, if ``keys`` moved there."""
    standing = occupants_by_section(session, actor)
    nowhere = _standing_nowhere(session, actor)
    everybody = {
        f"{one.kind}-{one.id}": (one, section)
        for section, found in [*standing.items(), (0, nowhere)]
        for one in found
    }
    moved = [everybody[key] for key in keys if key in everybody]
    there = [(one, section_id) for one in standing.get(section_id, [])]
    everyone = [*moved, *there]
    told = []
    for dam, was in everyone:
        males = [male for male, old in everyone if old != was and _meet(dam, male, on)]
        if males:
            told.append(_told(dam, males))
    return tuple(told)


def _meet(dam: Occupant, male: Occupant, on: date) -> bool:
    """Whether ``dam`` is a grown female and ``male`` holds a mature male of a kind she can cross with."""
    if dam.kind != "fish" or dam.sex != "female" or not mature(SPECIES[dam.species], dam.born_on, on):
        return False
    if male.sex != "male" if male.kind == "fish" else male.sex == BatchSex.FEMALES:
        return False
    return can_cross(dam.species, male.species) and mature(SPECIES[male.species], male.born_on, on)


def _told(dam: Occupant, males: Iterable[Occupant]) -> str:
    names = [
        one.label if one.kind == "fish" else f"batch {one.label}, whose males may be fertile" for one in males
    ]
    return f"{dam.label} will stand with {listed(names)}: she counts as exposed from that day."
