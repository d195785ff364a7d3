"""Open cases of a fish, a batch or a tank, for the pages of those."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from sqlalchemy import or_
from sqlalchemy.orm import Session

from app.store.cases import Case
from app.store.session import rows


@dataclass(frozen=True, slots=True)
class CaseLink:
    """An open case, as another page points at it."""

    id: int
    title: str
    opened_on: date


def open_cases(
    session: Session,
    *,
    fish_ids: Iterable[int] = (),
    batch_ids: Iterable[int] = (),
    tank_ids: Iterable[int] = (),
) -> tuple[CaseLink, ...]:
    """Return the open cases of any of these, in one statement."""
    whose = or_(
        Case.fish_id.in_(list(fish_ids)), Case.batch_id.in_(list(batch_ids)), Case.tank_id.in_(list(tank_ids))
    )
    found = rows(session, Case, whose, Case.closed_on.is_(None), order=(Case.opened_on, Case.id))
    return tuple(CaseLink(case.id, case.title, case.opened_on) for case in found)
