"""The list of tanks: who stands in each, how warm it is, and what comes next there."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy.orm import Session

from app.core.ribbon import Ribbon
from app.core.wording import day_words
from app.queries.occupants import Occupant
from app.queries.outlook import BatchOutlook, BirthOutlook, batch_outlooks, birth_outlooks
from app.queries.readings import LastReading, last_readings
from app.queries.tanks import TankShown, standing_words, tanks_page
from app.store.actor import Actor
from app.store.batches import BatchSex

LIKELY = 0.05
"""Below this chance that she carries, a drop is not what comes next (judgement)."""


@dataclass(frozen=True, slots=True)
class Ahead:
    """One thing that comes next: of whom, what, its window, and the day it is sorted by."""

    kind: str
    id: int
    label: str
    words: str
    stage: str
    day: date
    ribbon: Ribbon | None

    @property
    def spoken(self) -> bool:
        """Whether the ribbon's sentence says it best; a sexing window is no chance of ten cases."""
        return self.stage in {"carrying", "due", "ready"} and not self.words.startswith("sex")


@dataclass(frozen=True, slots=True)
class TankRow:
    """One tank of the list."""

    tank: TankShown
    last: LastReading | None
    ahead: tuple[Ahead, ...]

    @property
    def words(self) -> str:
        """Say who stands there."""
        return standing_words(self.tank.occupants)

    @property
    def lines(self) -> tuple[str, ...]:
        """The lines that stand there."""
        return tuple(dict.fromkeys(one.line for one in self.tank.occupants))


@dataclass(frozen=True, slots=True)
class TankList:
    """The open tanks in walking order, and those taken down."""

    rows: tuple[TankRow, ...]
    closed: tuple[TankShown, ...]

    @property
    def free(self) -> int:
        """How many stand empty."""
        return sum(1 for row in self.rows if row.tank.empty)


def tank_list(session: Session, actor: Actor) -> TankList:
    """Read the list in a fixed number of statements."""
    page = tanks_page(session, actor)
    occupants = [one for tank in page.tanks for one in tank.occupants]
    births, batches = _outlooks(session, actor, occupants)
    last = last_readings(session, actor)
    return TankList(
        tuple(
            TankRow(tank, last.get(tank.id), ahead_of(tank.occupants, births, batches, actor.today))
            for tank in page.tanks
        ),
        page.closed,
    )


def ahead_in(session: Session, actor: Actor, occupants: Sequence[Occupant]) -> tuple[Ahead, ...]:
    """Return what comes next for the fish that stand in one place, soonest first."""
    births, batches = _outlooks(session, actor, occupants)
    return ahead_of(occupants, births, batches, actor.today)


def _outlooks(
    session: Session, actor: Actor, occupants: Sequence[Occupant]
) -> tuple[dict[int, BirthOutlook], dict[int, BatchOutlook]]:
    dams = [one.id for one in occupants if one.kind == "fish" and one.sex == "female"]
    kept = [one.id for one in occupants if one.kind == "batch"]
    return birth_outlooks(session, actor, dams), batch_outlooks(session, actor, kept)


def ahead_of(
    occupants: Iterable[Occupant],
    births: Mapping[int, BirthOutlook],
    batches: Mapping[int, BatchOutlook],
    today: date,
) -> tuple[Ahead, ...]:
    """Return what comes next for ``occupants``, soonest first."""
    found: list[Ahead] = []
    for one in occupants:
        if one.kind == "fish" and one.id in births:
            found.extend(_drop(one, births[one.id]))
        elif one.kind == "batch" and one.id in batches:
            found.extend(_young(one, batches[one.id], today))
    return tuple(sorted(found, key=lambda ahead: ahead.day))


def _drop(one: Occupant, outlook: BirthOutlook) -> list[Ahead]:
    said = outlook.forecast
    if said.window_80 is None or said.median is None or said.p_carrying < LIKELY:
        return []
    return [
        Ahead(
            "fish",
            one.id,
            one.label,
            "overdue" if said.overdue else "drop",
            "due" if said.overdue else "carrying",
            said.window_80.start,
            outlook.ribbon,
        )
    ]


def _young(one: Occupant, outlook: BatchOutlook, today: date) -> list[Ahead]:
    """Return when a batch has to be split, then when it can go."""
    found = []
    if outlook.case.batch.sex is BatchSex.MIXED:
        by = outlook.sexing.split_by
        late = " (past)" if by < today else ""
        words = f"sex and split by {day_words(by, today)}{late}"
        found.append(
            Ahead(
                "batch", one.id, one.label, words, "due" if late else "sexing", outlook.sexing.opens,
                outlook.sexing_ribbon,
            )
        )  # fmt: skip
    if outlook.ready.window_80 is not None:
        start = outlook.ready.window_80.start
        found.append(Ahead("batch", one.id, one.label, "rehome", "ready", start, outlook.ready_ribbon))
    return found
