"""Open cases of a fish, a batch or a tank, for the pages of those."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from sqlalchemy import ColumnElement, or_
from sqlalchemy.orm import Session

from app.queries.history import Event
from app.store.cases import Case, CaseOutcome
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
    whose = _whose(fish_ids, batch_ids, tank_ids)
    found = rows(session, Case, whose, Case.closed_on.is_(None), order=(Case.opened_on, Case.id))
    return tuple(CaseLink(case.id, case.title, case.opened_on) for case in found)


def case_events(
    session: Session,
    *,
    fish_ids: Iterable[int] = (),
    batch_ids: Iterable[int] = (),
    tank_ids: Iterable[int] = (),
) -> list[Event]:
    """Tell when cases of any of these were opened, and how they ended; taken back on their own pages."""
    found = rows(session, Case, _whose(fish_ids, batch_ids, tank_ids), order=Case.id)
    events = []
    for case in found:
        url = ("cases.page", case.id)
        events.append(Event(case.opened_on, f"Case opened: {case.title}", case.suspected, "case", url, None))
        if case.closed_on is not None and case.outcome is not None:
            words = f"Case closed: {case.title}, {case.outcome.value}"
            kind = "done" if case.outcome is CaseOutcome.RECOVERED else "closed"
            events.append(Event(case.closed_on, words, case.what_helped, kind, url, None))
    return events


def _whose(fish_ids: Iterable[int], batch_ids: Iterable[int], tank_ids: Iterable[int]) -> ColumnElement[bool]:
    return or_(
        Case.fish_id.in_(list(fish_ids)), Case.batch_id.in_(list(batch_ids)), Case.tank_id.in_(list(tank_ids))
    )
