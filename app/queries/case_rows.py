"""Cases as lists tell them: whom they are about, their signs, what was used, and how they ended."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.queries.occupants import label_of
from app.store.actor import Actor
from app.store.batches import Batch
from app.store.cases import Case, CaseSign
from app.store.fish import Fish
from app.store.plans import Plan, PlanKind
from app.store.session import rows
from app.store.tanks import Tank
from app.store.waters import Substance


@dataclass(frozen=True, slots=True)
class CaseSubject:
    """Whom a case is about, and whether they are still there."""

    kind: str
    id: int
    label: str
    here: bool


@dataclass(frozen=True, slots=True)
class CaseRow:
    """One case in a list; ``signs`` still seen stand first."""

    id: int
    title: str
    subject: CaseSubject
    opened_on: date
    closed_on: date | None
    outcome: str
    suspected: str
    note: str
    what_helped: str
    signs: tuple[str, ...]
    substances: tuple[str, ...]

    @property
    def open(self) -> bool:
        """Whether it has no outcome yet."""
        return self.closed_on is None

    @property
    def text(self) -> str:
        """Everything that can be searched for."""
        words = (self.title, self.subject.label, self.suspected, self.note, self.what_helped, self.outcome)
        return " ".join((*words, *self.signs, *self.substances)).casefold()


def case_rows(session: Session, actor: Actor, *conditions: Any) -> tuple[CaseRow, ...]:  # noqa: ANN401
    """Read cases, the newest first, in a fixed number of statements."""
    statement = (
        select(Case, Fish, Batch, Tank)
        .outerjoin(Fish, Fish.id == Case.fish_id)
        .outerjoin(Batch, Batch.id == Case.batch_id)
        .outerjoin(Tank, Tank.id == Case.tank_id)
        .where(Case.fishroom_id == actor.fishroom_id, *conditions)
        .order_by(Case.opened_on.desc(), Case.id.desc())
    )
    found = [(case, fish, batch, tank) for case, fish, batch, tank in session.execute(statement)]
    ids = [case.id for case, *_ in found]
    signs, used = _signs(session, ids), _used(session, actor, ids)
    return tuple(
        _row(case, subject_of(fish, batch, tank), signs[case.id], used[case.id])
        for case, fish, batch, tank in found
    )


def subject_of(fish: Fish | None, batch: Batch | None, tank: Tank | None) -> CaseSubject:
    """Return whom a case is about, from whichever of the three it is."""
    if fish is not None:
        return CaseSubject("fish", fish.id, label_of(fish), fish.left_on is None)
    if batch is not None:
        return CaseSubject("batch", batch.id, batch.code, batch.closed_on is None)
    if tank is None:
        raise LookupError("a case is about a fish, a batch or a tank")
    return CaseSubject("tank", tank.id, f"Tank {tank.name}", tank.closed_on is None)


def _row(case: Case, subject: CaseSubject, signs: Iterable[CaseSign], used: Iterable[str]) -> CaseRow:
    ordered = sorted(signs, key=lambda sign: (sign.gone_on is not None, sign.seen_on, sign.id))
    return CaseRow(
        case.id,
        case.title,
        subject,
        case.opened_on,
        case.closed_on,
        case.outcome.value if case.outcome is not None else "",
        case.suspected,
        case.note,
        case.what_helped,
        tuple(dict.fromkeys(sign.kind.value for sign in ordered)),
        tuple(dict.fromkeys(used)),
    )


def _signs(session: Session, ids: list[int]) -> dict[int, list[CaseSign]]:
    found: dict[int, list[CaseSign]] = defaultdict(list)
    for sign in rows(session, CaseSign, CaseSign.case_id.in_(ids)):
        found[sign.case_id].append(sign)
    return found


def _used(session: Session, actor: Actor, ids: list[int]) -> dict[int, list[str]]:
    """Return the substances of the courses of each case."""
    statement = (
        select(Plan.case_id, Substance.name)
        .join(Substance, Substance.id == Plan.substance_id)
        .where(Plan.fishroom_id == actor.fishroom_id, Plan.case_id.in_(ids), Plan.kind == PlanKind.COURSE)
        .order_by(Plan.started_on, Plan.id)
    )
    found: dict[int, list[str]] = defaultdict(list)
    for case_id, name in session.execute(statement):
        if case_id is not None:
            found[case_id].append(name)
    return found
