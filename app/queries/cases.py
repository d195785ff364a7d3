"""The list of cases: the open ones first, then what was closed, searched by what worked."""

from dataclasses import dataclass

from sqlalchemy.orm import Session

from app.queries.case_rows import CaseRow, case_rows
from app.queries.paging import Part, part
from app.store.actor import Actor
from app.store.cases import Ailing, CaseOutcome

SHOWN = 20


@dataclass(frozen=True, slots=True)
class Sought:
    """What is looked for: words, a sign, a substance, an outcome; empty for any."""

    words: str = ""
    sign: str = ""
    substance: str = ""
    outcome: str = ""

    @property
    def any(self) -> bool:
        """Whether something is looked for."""
        return bool(self.words or self.sign or self.substance or self.outcome)

    def meets(self, case: CaseRow) -> bool:
        """Say whether a case is what is looked for."""
        return (
            all(word in case.text for word in self.words.casefold().split())
            and (not self.sign or self.sign in case.signs)
            and (not self.substance or self.substance in case.substances)
            and (not self.outcome or self.outcome == case.outcome)
        )


@dataclass(frozen=True, slots=True)
class CasesPage:
    """Open cases, the shown part of the closed ones, and what can be chosen to look for."""

    open: tuple[CaseRow, ...]
    closed: tuple[CaseRow, ...]
    part: Part
    sought: Sought
    total: int
    signs: tuple[str, ...]
    substances: tuple[str, ...]
    outcomes: tuple[str, ...]


def cases_page(session: Session, actor: Actor, sought: Sought, first: int = 0) -> CasesPage:
    """Read the cases that meet what is looked for."""
    everything = case_rows(session, actor)
    found = [case for case in everything if sought.meets(case)]
    closed = sorted(
        (case for case in found if case.closed_on is not None),
        key=lambda case: (case.closed_on or case.opened_on, case.id),
        reverse=True,
    )
    shown = part(first, SHOWN, len(closed))
    seen = {sign for case in everything for sign in case.signs}
    return CasesPage(
        tuple(case for case in found if case.open),
        tuple(closed[shown.first : shown.last]) if closed else (),
        shown,
        sought,
        len(everything),
        tuple(kind.value for kind in Ailing if kind.value in seen),
        tuple(sorted({name for case in everything for name in case.substances})),
        tuple(each.value for each in CaseOutcome),
    )
