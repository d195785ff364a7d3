"""The fry care page: the stages that hold for each line, and which of them are the keeper's own."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy.orm import Session

from app.core.fry_care import ROOM, Care
from app.core.species import SPECIES
from app.core.wording import listed
from app.queries.care import care_tables
from app.store.actor import Actor
from app.store.fishrooms import Fishroom
from app.store.lines import Line
from app.store.session import rows
from app.store.waters import FryCare


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage; ``id`` where the keeper set it."""

    from_age_days: int
    feeds_a_day: int
    every_days: int
    percent: float
    whose: str
    id: int | None


@dataclass(frozen=True, slots=True)
class LineCare:
    """The stages of the lines that share them."""

    names: str
    species: str
    stages: tuple[Stage, ...]


@dataclass(frozen=True, slots=True)
class FryCarePage:
    """Every line with its stages, what is set for all of them, and the lines to choose from."""

    lines: tuple[LineCare, ...]
    room: tuple[Stage, ...]
    choices: tuple[tuple[int, str], ...]
    box_days: int
    room_share: float
    room_for: tuple[tuple[float, float], ...]


def fry_care_page(session: Session, actor: Actor) -> FryCarePage:
    """Read the routine in a fixed number of statements."""
    fishroom = session.get_one(Fishroom, actor.fishroom_id)
    lines = {line.id: line for line in rows(session, Line, order=(Line.name, Line.id))}
    tables = care_tables(session, lines)
    own: dict[int | None, dict[int, int]] = defaultdict(dict)
    room = []
    for row in rows(session, FryCare, order=(FryCare.from_age_days, FryCare.id)):
        own[row.line_id][row.from_age_days] = row.id
        if row.line_id is None:
            care = Care(row.from_age_days, row.feeds_a_day, row.change_every_days, row.change_fraction)
            room.append(_stage(care, "yours", row.id))
    alike: dict[tuple[Stage, ...], list[Line]] = defaultdict(list)
    for line in lines.values():
        alike[tuple(_stage(care, *_whose(own, line.id, care)) for care in tables[line.id])].append(line)
    return FryCarePage(
        tuple(_alike(some, stages) for stages, some in alike.items()),
        tuple(room),
        tuple((line.id, line.name) for line in lines.values()),
        fishroom.box_days,
        fishroom.room_share,
        tuple((longest, litres * fishroom.room_share) for longest, litres in ROOM),
    )


def _alike(some: list[Line], stages: tuple[Stage, ...]) -> LineCare:
    kinds = dict.fromkeys(SPECIES[line.species].common_name for line in some)
    return LineCare(listed([line.name for line in some]), listed(list(kinds)), stages)


def _whose(own: Mapping[int | None, Mapping[int, int]], line_id: int, care: Care) -> tuple[str, int | None]:
    """Say whose a stage is, and its number where it is the line's own."""
    if care.from_age_days in own[line_id]:
        return "this line’s own", own[line_id][care.from_age_days]
    return "yours" if care.from_age_days in own[None] else "usual", None


def _stage(care: Care, whose: str, row_id: int | None) -> Stage:
    return Stage(
        care.from_age_days,
        care.feeds_a_day,
        care.change_every_days,
        care.change_fraction * 100,
        whose,
        row_id,
    )
