"""The lines: all of them with what stands here, and one with its fish, broods and learned intervals."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.core.quantities import show_length
from app.core.quantities.showing import trimmed
from app.core.species import SPECIES, Species
from app.core.wording import age_words, many
from app.queries.books import books
from app.queries.broods import BroodRow, broods_page
from app.queries.fish import FishRow, fish_rows
from app.queries.occupants import label_of, occupants_by_section
from app.queries.sections import places
from app.queries.tank_list import Ahead, ahead_in
from app.store.actor import Actor
from app.store.batches import Batch
from app.store.broods import Brood
from app.store.fish import Fish, Sex
from app.store.lines import Line
from app.store.session import find, rows
from app.store.stays import Stay

SKIPPED = 1.6
"""Longer than so many usual intervals, a drop was skipped or missed between (Methods: when a dam drops)."""
AHEAD_SHOWN = 3
BROODS_SHOWN = 8


@dataclass(frozen=True, slots=True)
class LineRow:
    """One line as the list tells it."""

    id: int
    name: str
    species: str
    scientific: str
    dams: int
    sires: int
    unsexed: int
    batches: int
    young: int

    @property
    def words(self) -> str:
        """Say what stands here of it now."""
        parts = [
            many(self.dams, "dam") if self.dams else "",
            many(self.sires, "sire") if self.sires else "",
            f"{self.unsexed} not sexed" if self.unsexed else "",
            f"{many(self.batches, 'batch', 'batches')} with {self.young} young" if self.batches else "",
        ]
        return ", ".join(filter(None, parts)) or "nobody here now"

    @property
    def adults(self) -> int:
        """How many are known one by one."""
        return self.dams + self.sires + self.unsexed

    @property
    def live(self) -> bool:
        """Whether some of it stands here."""
        return bool(self.dams or self.sires or self.unsexed or self.batches)


@dataclass(frozen=True, slots=True)
class LinesPage:
    """Every line; those with nobody here come last."""

    lines: tuple[LineRow, ...]


@dataclass(frozen=True, slots=True)
class OwnNumber:
    """A number of the species, and the keeper's own where it was set."""

    what: str
    value: str
    own: bool
    usual: str
    source: str


@dataclass(frozen=True, slots=True)
class Intervals:
    """The days between one dam's drops."""

    dam_id: int
    dam: str
    drops: int
    days: str
    mean: str


@dataclass(frozen=True, slots=True)
class Growing:
    """A batch that still stands here."""

    id: int
    code: str
    alive: int
    age: str
    where: str


@dataclass(frozen=True, slots=True)
class LinePage:
    """One line."""

    id: int
    name: str
    species: str
    kind: Species
    note: str
    interval_days: float | None
    sale_length_mm: float | None
    sexable_age_days: float | None
    numbers: tuple[OwnNumber, ...]
    dams: tuple[FishRow, ...]
    sires: tuple[FishRow, ...]
    unsexed: tuple[FishRow, ...]
    gone: int
    batches: tuple[Growing, ...]
    broods: tuple[BroodRow, ...]
    broods_in_all: int
    intervals: tuple[Intervals, ...]
    learned: str
    ahead: tuple[Ahead, ...]

    @property
    def now(self) -> str:
        """Say what stands here of it now."""
        row = LineRow(
            self.id,
            self.name,
            "",
            "",
            len(self.dams),
            len(self.sires),
            len(self.unsexed),
            len(self.batches),
            sum(batch.alive for batch in self.batches),
        )
        return row.words


def lines_page(session: Session, actor: Actor) -> LinesPage:
    """Read every line with what stands here of it."""
    fish = _fish_counts(session, actor)
    batches = _batch_counts(session, actor)
    shown = [_row(line, fish, batches) for line in rows(session, Line, order=(Line.name, Line.id))]
    return LinesPage(tuple(sorted(shown, key=lambda row: not row.live)))


def _fish_counts(session: Session, actor: Actor) -> dict[tuple[int, Sex], int]:
    statement = (
        select(Fish.line_id, Fish.sex, func.count())
        .where(Fish.fishroom_id == actor.fishroom_id, Fish.left_on.is_(None))
        .group_by(Fish.line_id, Fish.sex)
    )
    return {(line_id, sex): number for line_id, sex, number in session.execute(statement)}


def _batch_counts(session: Session, actor: Actor) -> dict[int, list[int]]:
    """Return how many are alive in each open batch, by line."""
    found = rows(session, Batch, Batch.closed_on.is_(None))
    ledgers = books(session, actor.fishroom_id, [batch.id for batch in found])
    alive: dict[int, list[int]] = defaultdict(list)
    for batch in found:
        alive[batch.line_id].append(ledgers[batch.id].alive)
    return alive


def _row(line: Line, fish: dict[tuple[int, Sex], int], batches: dict[int, list[int]]) -> LineRow:
    kind = SPECIES[line.species]
    young = batches.get(line.id, [])
    return LineRow(
        line.id,
        line.name,
        kind.common_name,
        kind.scientific_name,
        fish.get((line.id, Sex.FEMALE), 0),
        fish.get((line.id, Sex.MALE), 0),
        fish.get((line.id, Sex.UNKNOWN), 0),
        len(young),
        sum(young),
    )


def line_page(session: Session, actor: Actor, line_id: int) -> LinePage:
    """Read one line."""
    line = find(session, Line, line_id)
    kind = SPECIES[line.species]
    every = fish_rows(session, actor, line.id)
    here = [row for row in every if row.here]
    broods = broods_page(session, actor, line.id, step=BROODS_SHOWN)
    intervals, all_days = _intervals(session, line, kind)
    return LinePage(
        id=line.id,
        name=line.name,
        species=line.species,
        kind=kind,
        note=line.note,
        interval_days=line.interval_days,
        sale_length_mm=line.sale_length_mm,
        sexable_age_days=line.sexable_age_days,
        numbers=_numbers(actor, line, kind),
        dams=tuple(row for row in here if row.sex == Sex.FEMALE),
        sires=tuple(row for row in here if row.sex == Sex.MALE),
        unsexed=tuple(row for row in here if row.sex == Sex.UNKNOWN),
        gone=len(every) - len(here),
        batches=_growing(session, actor, line),
        broods=broods.broods,
        broods_in_all=broods.part.total,
        intervals=intervals,
        learned=_learned(all_days, kind),
        ahead=_ahead(session, actor, line),
    )


def _ahead(session: Session, actor: Actor, line: Line) -> tuple[Ahead, ...]:
    """Return what comes next for the fish of a line, wherever they stand."""
    standing = occupants_by_section(session, actor).values()
    mine = [one for some in standing for one in some if one.line_id == line.id]
    return ahead_in(session, actor, mine)[:AHEAD_SHOWN]


def _numbers(actor: Actor, line: Line, kind: Species) -> tuple[OwnNumber, ...]:
    def number(what: str, name: str, own: float | None) -> OwnNumber:
        usual = _shown(actor, name, getattr(kind, name))
        value = usual if own is None else _shown(actor, name, own)
        source = kind.sources[name]
        return OwnNumber(what, value, own is not None, usual, f"{source.words} (grade {source.grade})")

    return (
        number("Days between drops at 25 °C", "interval_days", line.interval_days),
        number("Can be sexed at", "sexable_age_days", line.sexable_age_days),
        number("Rehomed from a length of", "sale_length_mm", line.sale_length_mm),
    )


def _shown(actor: Actor, name: str, value: float) -> str:
    return show_length(value, actor.units) if name == "sale_length_mm" else f"{trimmed(value, 1)} days"


def _growing(session: Session, actor: Actor, line: Line) -> tuple[Growing, ...]:
    statement = (
        select(Batch, Stay.section_id)
        .outerjoin(Stay, (Stay.batch_id == Batch.id) & Stay.to_on.is_(None))
        .where(Batch.fishroom_id == actor.fishroom_id, Batch.line_id == line.id, Batch.closed_on.is_(None))
        .order_by(Batch.born_from, Batch.code)
    )
    found = session.execute(statement).all()
    ledgers = books(session, actor.fishroom_id, [batch.id for batch, _ in found])
    where = places(session, actor)
    return tuple(
        Growing(
            batch.id,
            batch.code,
            ledgers[batch.id].alive,
            f"{age_words(batch.born_from, batch.born_to, actor.today)} old",
            where[section_id].words if section_id is not None else "",
        )
        for batch, section_id in found
    )


def _intervals(session: Session, line: Line, kind: Species) -> tuple[tuple[Intervals, ...], list[float]]:
    """Return the intervals of each dam with two drops or more, and all of them as plain days."""
    dams = {fish.id: fish for fish in rows(session, Fish, Fish.line_id == line.id, Fish.sex == Sex.FEMALE)}
    by_dam: dict[int, list[float]] = defaultdict(list)
    drops = (
        select(Brood.dam_id, Brood.dropped_from, Brood.dropped_to)
        .where(Brood.fishroom_id == line.fishroom_id, Brood.dam_id.in_(dams))
        .order_by(Brood.dropped_from, Brood.id)
    )
    for dam_id, begins, ends in session.execute(drops):
        by_dam[dam_id].append((begins.toordinal() + ends.toordinal()) / 2)
    shown, every = [], []
    for dam_id, middles in by_dam.items():
        days = [later - earlier for earlier, later in pairwise(middles)]
        usual = [day for day in days if day <= SKIPPED * kind.interval_days]
        every += usual
        if days:
            shown.append(
                Intervals(
                    dam_id,
                    label_of(dams[dam_id]),
                    len(middles),
                    ", ".join(f"{day:.0f}" for day in days[-6:]),
                    f"{_mean(usual):.1f}" if usual else "",
                )
            )
    return tuple(sorted(shown, key=lambda each: each.dam.lower())), every


def _mean(days: Sequence[float]) -> float:
    return sum(days) / len(days)


def _learned(days: Sequence[float], kind: Species) -> str:
    usual = f"{trimmed(kind.interval_days, 1)} days at 25 °C is what is published for {kind.common_name}"
    if not days:
        return f"None yet: {usual}. Two logged drops of one dam make the first interval."
    seen = f"{_mean(days):.1f} days on average over {many(len(days), 'interval')}"
    return f"{seen}; {usual}. Each dam’s forecast weighs her own most."
