"""Who descends from whom, how inbred each fish is, and which pairs would be least related."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.crossing import can_cross, mature
from app.core.lineage.population import effective_size, inbreeding_rate
from app.core.lineage.relations import Relations
from app.core.species import SPECIES
from app.core.wording import day_words
from app.queries.kinship import kin
from app.queries.occupants import label_of
from app.queries.pairing_look import kin_words
from app.queries.sections import places
from app.store.actor import Actor
from app.store.fish import Fish, Origin, Sex
from app.store.lines import Line
from app.store.session import NotFound
from app.store.stays import Stay

DEPTH = 4
DEEPEST = 60
"""No fishroom has kept so many generations; the drawing must end somewhere."""
CLOSE = 0.125
"""From half siblings on a pair is called close (Wright's steps for outbred families)."""


@dataclass(frozen=True, slots=True)
class Forebear:
    """A fish and its parents, as deep as was asked; ``again`` where it was drawn before."""

    id: int
    name: str
    sex: str
    detail: str
    dam: "Forebear | None"
    sire: "Forebear | None"


@dataclass(frozen=True, slots=True)
class Partner:
    """A possible mate, and the inbreeding their young would have."""

    id: int
    label: str
    line: str
    where: str
    inbreeding: float
    words: str
    close: bool
    grown: bool


@dataclass(frozen=True, slots=True)
class Choice:
    """A fish that can be looked up."""

    id: int
    words: str


@dataclass(frozen=True, slots=True)
class LineSummary:
    """How a line stands: its breeders here, how inbred they are, and how fast that rises."""

    id: int
    name: str
    species: str
    dams: int
    sires: int
    inbreeding: float | None
    kinship: float | None
    effective: float | None
    rise: float | None


@dataclass(frozen=True, slots=True)
class LineagePage:
    """Every line's state, and who can be looked up."""

    lines: tuple[LineSummary, ...]
    fish: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class FishLineage:
    """One fish: its forebears, its inbreeding, and its possible mates ranked."""

    id: int
    label: str
    sex: str
    line: str
    here: bool
    tree: Forebear
    depth: int
    deepest: int
    inbreeding: float
    words: str
    own_line: tuple[Partner, ...]
    other_lines: tuple[Partner, ...]
    fish: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class Herd:
    """Every fish of the fishroom with its line, by number, and who is related to whom."""

    fish: Mapping[int, Fish]
    lines: Mapping[int, Line]
    relations: Relations
    today: date

    def inbreeding(self, fish: Fish) -> float:
        """Return Wright's F."""
        return self.relations.inbreeding(str(fish.id))

    def kinship(self, one: Fish, other: Fish) -> float:
        """Return the inbreeding their young would have."""
        return self.relations.kinship(str(one.id), str(other.id))


def herd(session: Session, actor: Actor) -> Herd:
    """Read every fish and its kin, in three statements."""
    room = actor.fishroom_id
    found = session.scalars(select(Fish).where(Fish.fishroom_id == room).order_by(Fish.code))
    lines = session.scalars(select(Line).where(Line.fishroom_id == room).order_by(Line.name))
    return Herd(
        {fish.id: fish for fish in found},
        {line.id: line for line in lines},
        kin(session, actor),
        actor.today,
    )


def forebears(of: Herd, fish_id: int, depth: int = DEPTH) -> Forebear:
    """Return the tree of a fish; each forebear is followed up once, so that loops of kin end."""
    seen: set[int] = set()
    return _forebear(of, fish_id, depth, seen)


def _forebear(of: Herd, fish_id: int, depth: int, seen: set[int]) -> Forebear:
    fish = of.fish[fish_id]
    again = fish_id in seen
    seen.add(fish_id)
    parents: list[Forebear | None] = [None, None]
    if not again and depth > 0:
        for place, parent_id in enumerate((fish.dam_id, fish.sire_id)):
            if parent_id is not None:
                parents[place] = _forebear(of, parent_id, depth - 1, seen)
    known = fish.dam_id is not None or fish.sire_id is not None
    return Forebear(
        fish.id,
        label_of(fish),
        fish.sex.value,
        _detail(of, fish, cut=known and (again or depth == 0)),
        *parents,
    )


def _detail(of: Herd, fish: Fish, *, cut: bool) -> str:
    parts = []
    if fish.born_on is not None:
        parts.append(f"born {day_words(fish.born_on, of.today)}")
    elif fish.origin is not Origin.HOMEBRED:
        parts.append(fish.origin.value)
    inbreeding = of.inbreeding(fish)
    if inbreeding > 0:
        parts.append(f"F {inbreeding:.3f}")
    if cut:
        parts.append("parents on record")
    return ", ".join(parts)


def generations(of: Herd, fish_id: int) -> int:
    """Return how many generations of forebears are on record."""
    pedigree = of.relations.pedigree
    return int(pedigree.generation[pedigree.at(str(fish_id))])


def lineage_page(session: Session, actor: Actor) -> LineagePage:
    """Read how each line stands."""
    of = herd(session, actor)
    by_line: dict[int, list[Fish]] = defaultdict(list)
    for fish in of.fish.values():
        if fish.left_on is None:
            by_line[fish.line_id].append(fish)
    return LineagePage(
        tuple(_summary(of, line, by_line[line.id]) for line in of.lines.values() if by_line[line.id]),
        _choices(of),
    )


def _summary(of: Herd, line: Line, here: Sequence[Fish]) -> LineSummary:
    dams = [fish for fish in here if fish.sex is Sex.FEMALE]
    sires = [fish for fish in here if fish.sex is Sex.MALE]
    pairs = [of.kinship(dam, sire) for dam in dams for sire in sires]
    effective = effective_size(len(sires), len(dams)) if pairs else None
    return LineSummary(
        line.id,
        line.name,
        SPECIES[line.species].common_name,
        len(dams),
        len(sires),
        _mean([of.inbreeding(fish) for fish in here]),
        _mean(pairs),
        effective,
        inbreeding_rate(effective) if effective is not None else None,
    )


def _mean(values: Sequence[float]) -> float | None:
    return sum(values) / len(values) if values else None


def _choices(of: Herd) -> tuple[Choice, ...]:
    return tuple(
        Choice(fish.id, f"{label_of(fish)}, {of.lines[fish.line_id].name}{', left' if fish.left_on else ''}")
        for fish in sorted(of.fish.values(), key=lambda fish: (fish.left_on is not None, fish.code.lower()))
    )


def fish_lineage(session: Session, actor: Actor, fish_id: int, depth: int = DEPTH) -> FishLineage:
    """Read one fish's forebears and rank its possible mates."""
    of = herd(session, actor)
    if fish_id not in of.fish:
        raise NotFound(f"no fish {fish_id} here")
    fish = of.fish[fish_id]
    partners = _partners(session, actor, of, fish)
    return FishLineage(
        fish.id,
        label_of(fish),
        fish.sex.value,
        of.lines[fish.line_id].name,
        fish.left_on is None,
        forebears(of, fish.id, min(max(depth, 1), DEEPEST)),
        depth,
        generations(of, fish.id),
        of.inbreeding(fish),
        inbreeding_words(of, fish),
        tuple(partner for partner, line_id in partners if line_id == fish.line_id),
        tuple(partner for partner, line_id in partners if line_id != fish.line_id),
        _choices(of),
    )


def inbreeding_words(of: Herd, fish: Fish) -> str:
    """Say what a fish's F means."""
    value = of.inbreeding(fish)
    if value > 0:
        return f"its parents are {kin_words(value)}"
    if fish.dam_id is None or fish.sire_id is None:
        return "not both parents are on record, so this is the least it can be"
    return "its parents have no kin in common on record"


def _partners(session: Session, actor: Actor, of: Herd, fish: Fish) -> list[tuple[Partner, int]]:
    """Return the possible mates, the least related first."""
    wanted = {Sex.FEMALE: Sex.MALE, Sex.MALE: Sex.FEMALE}.get(fish.sex)
    kind = of.lines[fish.line_id].species
    mates = [
        other
        for other in of.fish.values()
        if other.sex is wanted and other.left_on is None and can_cross(kind, of.lines[other.line_id].species)
    ]
    where = _standing(session, actor)
    ranked = sorted(mates, key=lambda other: (of.kinship(fish, other), other.code.lower()))
    return [(_partner(of, fish, other, where.get(other.id, "")), other.line_id) for other in ranked]


def _standing(session: Session, actor: Actor) -> dict[int, str]:
    where = places(session, actor)
    statement = select(Stay.fish_id, Stay.section_id).where(
        Stay.fishroom_id == actor.fishroom_id, Stay.to_on.is_(None), Stay.fish_id.is_not(None)
    )
    return {fish_id: where[section_id].words for fish_id, section_id in session.execute(statement) if fish_id}


def _partner(of: Herd, fish: Fish, other: Fish, where: str) -> Partner:
    kinship = of.kinship(fish, other)
    line = of.lines[other.line_id]
    words = kin_words(kinship)
    if kinship == 0 and any(each.dam_id is None or each.sire_id is None for each in (fish, other)):
        words = "no kin on record; not all parents are known"
    return Partner(
        other.id,
        label_of(other),
        line.name,
        where,
        kinship,
        words,
        kinship >= CLOSE,
        mature(SPECIES[line.species], other.born_on, of.today),
    )
