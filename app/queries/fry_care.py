"""The fry care page: the stages that hold for each line, and which of them are the keeper's own."""

from collections import defaultdict
from dataclasses import dataclass

from sqlalchemy.orm import Session

from app.core.fry_care import BOX_DAYS, Care
from app.core.species import SPECIES
from app.queries.care import care_tables
from app.store.actor import Actor
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
    """The stages of one line."""

    name: str
    species: str
    stages: tuple[Stage, ...]


@dataclass(frozen=True, slots=True)
class FryCarePage:
    """Every line with its stages, what is set for all of them, and the lines to choose from."""

    lines: tuple[LineCare, ...]
    room: tuple[Stage, ...]
    choices: tuple[tuple[int, str], ...]
    box_days: int = BOX_DAYS


def fry_care_page(session: Session, actor: Actor) -> FryCarePage:
    """Read the routine in a fixed number of statements."""
    del actor
    lines = {line.id: line for line in rows(session, Line, order=(Line.name, Line.id))}
    tables = care_tables(session, lines)
    own: dict[int | None, dict[int, int]] = defaultdict(dict)
    room = []
    for row in rows(session, FryCare, order=(FryCare.from_age_days, FryCare.id)):
        own[row.line_id][row.from_age_days] = row.id
        if row.line_id is None:
            care = Care(row.from_age_days, row.feeds_a_day, row.change_every_days, row.change_fraction)
            room.append(_stage(care, "yours", row.id))
    return FryCarePage(
        tuple(
            LineCare(
                line.name,
                SPECIES[line.species].common_name,
                tuple(
                    _stage(
                        care, _whose(own, line.id, care.from_age_days), own[line.id].get(care.from_age_days)
                    )
                    for care in tables[line.id]
                ),
            )
            for line in lines.values()
        ),
        tuple(room),
        tuple((line.id, line.name) for line in lines.values()),
    )


def _whose(own: dict[int | None, dict[int, int]], line_id: int, age: int) -> str:
    if age in own[line_id]:
        return "this line’s own"
    return "yours" if age in own[None] else "usual"


def _stage(care: Care, whose: str, row_id: int | None) -> Stage:
    return Stage(
        care.from_age_days,
        care.feeds_a_day,
        care.change_every_days,
        care.change_fraction * 100,
        whose,
        row_id,
    )
