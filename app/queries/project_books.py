"""A project's checklist and money: what is still to do, what it cost and what it brought."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.store.actor import Actor
from app.store.batches import Batch
from app.store.broods import Brood
from app.store.fishrooms import Fishroom
from app.store.pairings import Pairing
from app.store.projects import MoneyKind, ProjectCheck, ProjectMoney, Stage
from app.store.rehomings import Rehoming
from app.store.session import rows

TITLES = {
    Stage.PLAN: "Plan",
    Stage.PAIR: "Pair",
    Stage.RAISE: "Raise",
    Stage.CHOOSE: "Choose",
    Stage.REHOME: "Rehome",
    Stage.CLOSE: "Close",
}


@dataclass(frozen=True, slots=True)
class CheckShown:
    """One line of the checklist."""

    id: int
    words: str
    done_on: date | None


@dataclass(frozen=True, slots=True)
class StageShown:
    """The lines of one stage."""

    title: str
    checks: tuple[CheckShown, ...]

    @property
    def open(self) -> int:
        """How many are still to do."""
        return sum(check.done_on is None for check in self.checks)


@dataclass(frozen=True, slots=True)
class MoneyShown:
    """One cost or income."""

    id: int
    on: date
    words: str
    amount: float
    cost: bool


@dataclass(frozen=True, slots=True)
class Money:
    """All costs and incomes of a project, in the fishroom's money."""

    rows: tuple[MoneyShown, ...]
    unit: str
    rehomed: float

    @property
    def cost(self) -> float:
        """What was spent."""
        return sum(row.amount for row in self.rows if row.cost)

    @property
    def income(self) -> float:
        """What came in, with what its rehomed fish brought."""
        return self.rehomed + sum(row.amount for row in self.rows if not row.cost)


def checklist(session: Session, project_id: int) -> tuple[StageShown, ...]:
    """Return a project's checklist, stage by stage."""
    found = rows(
        session,
        ProjectCheck,
        ProjectCheck.project_id == project_id,
        order=(ProjectCheck.position, ProjectCheck.id),
    )
    return tuple(StageShown(TITLES[stage], checks) for stage in Stage if (checks := _of(found, stage)))


def _of(found: Iterable[ProjectCheck], stage: Stage) -> tuple[CheckShown, ...]:
    return tuple(CheckShown(each.id, each.words, each.done_on) for each in found if each.stage is stage)


def money(session: Session, actor: Actor, project_id: int) -> Money:
    """Return what a project cost and brought."""
    found = rows(
        session,
        ProjectMoney,
        ProjectMoney.project_id == project_id,
        order=(ProjectMoney.on.desc(), ProjectMoney.id.desc()),
    )
    statement = (
        select(Rehoming.price)
        .join(Batch, Batch.id == Rehoming.batch_id)
        .join(Brood, Brood.id == Batch.brood_id)
        .join(Pairing, Pairing.id == Brood.pairing_id)
        .where(
            Rehoming.fishroom_id == actor.fishroom_id,
            Pairing.project_id == project_id,
            Rehoming.price.is_not(None),
        )
    )
    shown = tuple(
        MoneyShown(each.id, each.on, each.words, each.hundredths / 100, each.kind is MoneyKind.COST)
        for each in found
    )
    unit = session.get_one(Fishroom, actor.fishroom_id).money
    return Money(shown, unit, float(sum(price or 0 for price in session.scalars(statement))))
