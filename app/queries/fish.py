"""The broodstock: every fish known by a code, where it stands and what comes next for it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.ribbon import Ribbon
from app.core.species import SPECIES
from app.core.wording import age_words, carrying_words, day_words, in_ten
from app.queries.occupants import label_of
from app.queries.outlook import EVEN_CHANCE, BirthOutlook, birth_outlooks
from app.queries.sections import Place, places
from app.store.actor import Actor
from app.store.fish import Departure, Fish, Precision, Sex
from app.store.lines import Line
from app.store.stays import Stay


@dataclass(frozen=True, slots=True)
class Wait:
    """What the reckoning says of a dam's next drop, in words and as a ribbon where it has dates."""

    ribbon: Ribbon | None
    sentence: str
    chance: str
    overdue: bool
    graded: str
    unlikely: bool


@dataclass(frozen=True, slots=True)
class FishRow:
    """One fish as a list tells it."""

    id: int
    code: str
    name: str
    label: str
    sex: str
    line_id: int
    line: str
    species: str
    born_on: date | None
    age: str
    arrived_on: date
    where: str
    tank_id: int | None
    since: date | None
    left: str
    quarantine_until: date | None
    wait: Wait | None

    @property
    def here(self) -> bool:
        """Whether it has not left."""
        return not self.left

    @property
    def stage(self) -> str:
        """Name where it stands in life, for its status word."""
        if not self.here:
            return "lost" if self.left.startswith(("died", "lost")) else "rehomed"
        if self.quarantine_until is not None:
            return "quarantine"
        if self.wait is None:
            return "adult"
        if self.wait.overdue:
            return "due"
        return "waiting" if self.wait.unlikely else "carrying"


@dataclass(frozen=True, slots=True)
class Filter:
    """What the list is narrowed to; nothing is everything, ``state`` is here, left or all."""

    sex: str = ""
    line_id: int | None = None
    state: str = "here"


@dataclass(frozen=True, slots=True)
class FishPageList:
    """Fish by the filter, and what can be filtered by."""

    fish: tuple[FishRow, ...]
    lines: tuple[tuple[int, str], ...]
    by: Filter
    any: bool

    @property
    def narrowed(self) -> bool:
        """Whether a filter hides some."""
        return self.by != Filter()


def fish_list(session: Session, actor: Actor, by: Filter) -> FishPageList:
    """Read the fish that a filter leaves, by line and code."""
    every = fish_rows(session, actor)
    lines = dict.fromkeys((row.line_id, row.line) for row in every)
    kept = tuple(row for row in every if _passes(row, by))
    return FishPageList(kept, tuple(sorted(lines, key=lambda pair: pair[1].lower())), by, bool(every))


def _passes(row: FishRow, by: Filter) -> bool:
    return (
        (not by.sex or row.sex == by.sex)
        and (by.line_id is None or row.line_id == by.line_id)
        and (by.state == "all" or row.here == (by.state != "left"))
    )


def fish_rows(session: Session, actor: Actor, line_id: int | None = None) -> list[FishRow]:
    """Return every fish (of a line where one is named), by line and code, in a fixed number of reads."""
    statement = (
        select(Fish, Line, Stay)
        .join(Line, Line.id == Fish.line_id)
        .outerjoin(Stay, (Stay.fish_id == Fish.id) & Stay.to_on.is_(None))
        .where(Fish.fishroom_id == actor.fishroom_id)
        .order_by(Line.name, Fish.sex, Fish.code)
    )
    if line_id is not None:
        statement = statement.where(Fish.line_id == line_id)
    found = session.execute(statement).all()
    where = places(session, actor)
    dams = [fish.id for fish, _, _ in found if fish.sex is Sex.FEMALE and fish.left_on is None]
    outlooks = birth_outlooks(session, actor, dams) if dams else {}
    return [_row(actor, fish, line, stay, where, outlooks.get(fish.id)) for fish, line, stay in found]


def _row(
    actor: Actor,
    fish: Fish,
    line: Line,
    stay: Stay | None,
    where: dict[int, Place],
    outlook: BirthOutlook | None,
) -> FishRow:
    place = where[stay.section_id] if stay is not None else None
    return FishRow(
        fish.id,
        fish.code,
        fish.name,
        label_of(fish),
        fish.sex.value,
        line.id,
        line.name,
        SPECIES[line.species].common_name,
        fish.born_on,
        fish_age(fish, fish.left_on or actor.today),
        fish.arrived_on,
        place.words if place is not None else "",
        place.tank_id if place is not None else None,
        stay.from_on if stay is not None else None,
        left_words(fish, actor.today),
        quarantine(fish, actor.today),
        waiting(outlook) if outlook is not None else None,
    )


def waiting(outlook: BirthOutlook) -> Wait:
    """Put an outlook into words."""
    said = outlook.forecast
    if outlook.ribbon is not None:
        words = outlook.ribbon.sentence
    elif said.fry_per_week is not None:
        words = f"fry every few days, about {said.fry_per_week:.2g} a week"
    else:
        words = said.notes[0] if said.notes else "no date can be given"
    return Wait(
        outlook.ribbon,
        words,
        in_ten(said.p_carrying),
        said.overdue,
        carrying_words(said.p_carrying),
        said.p_carrying < EVEN_CHANCE,
    )


def fish_age(fish: Fish, on: date) -> str:
    """Return how old a fish is, and how well that is known."""
    if fish.born_on is None:
        return "age not known"
    age = age_words(fish.born_on, fish.born_on, on)
    return f"about {age} old" if fish.born_precision is Precision.GUESS else f"{age} old"


def left_words(fish: Fish, today: date) -> str:
    """Return how and when a fish left; nothing while it is here."""
    if fish.left_on is None:
        return ""
    how = {Departure.DIED: "died", Departure.LOST: "lost", Departure.REHOMED: "rehomed", None: "left"}
    return f"{how[fish.departure]} {day_words(fish.left_on, today)}"


def quarantine(fish: Fish, today: date) -> date | None:
    """Return the last day of a quarantine that still runs."""
    until = fish.quarantine_until
    return until if until is not None and fish.left_on is None and until >= today else None


CSV_HEAD = (
    "code", "name", "sex", "line", "species", "born_on", "arrived_on", "where", "since", "left",
    "quarantine_until", "carrying", "next_drop",
)  # fmt: skip


def fish_table(fish: Sequence[FishRow]) -> list[tuple[str, ...]]:
    """Return the list as rows of text."""
    return [
        (
            row.code, row.name, row.sex, row.line, row.species, _iso(row.born_on), _iso(row.arrived_on),
            row.where, _iso(row.since), row.left, _iso(row.quarantine_until),
            row.wait.chance if row.wait else "", row.wait.sentence if row.wait else "",
        )
        for row in fish
    ]  # fmt: skip


def _iso(day: date | None) -> str:
    return day.isoformat() if day is not None else ""
