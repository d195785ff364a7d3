"""A project's report: its numbers, survival and growth, its forecasts against what came, and its money."""

from dataclasses import dataclass
from datetime import date
from operator import itemgetter

from sqlalchemy.orm import Session

from app.core.wording import length_words, span_words
from app.queries.books import books
from app.queries.hindcast import Past, pasts
from app.queries.project_books import Money
from app.queries.project_young import young_of
from app.queries.projects import ProjectPage, project_page
from app.store.actor import Actor
from app.store.batches import Batch, LengthCheck
from app.store.broods import Brood
from app.store.fishrooms import Fishroom
from app.store.session import rows


@dataclass(frozen=True, slots=True)
class BatchRow:
    """One batch in numbers; lengths in mm, the last one measured."""

    id: int
    code: str
    began: int
    alive: int
    lost: int
    rehomed: int
    kept: int
    length_mm: float | None
    age_days: int | None

    @property
    def survived(self) -> float | None:
        """Share of those it began with that did not die or get lost."""
        return 1 - self.lost / self.began if self.began else None


@dataclass(frozen=True, slots=True)
class ReportPage:
    """Everything a project came to, on one sheet."""

    page: ProjectPage
    fishroom: str
    today: date
    span: str
    lasted: str
    batches: tuple[BatchRow, ...]
    forecasts: tuple[Past, ...]

    @property
    def money(self) -> Money:
        """Costs and incomes."""
        return self.page.money

    @property
    def story(self) -> tuple[tuple[date, str], ...]:
        """What was done and what dropped, from the first day on."""
        drops = [
            (brood.day, f"{brood.dam} dropped {brood.live} live fry: {brood.code}")
            for brood in reversed(self.page.broods)
        ]
        acts = [(event.day, event.words) for event in reversed(self.page.history)]
        return tuple(sorted([*acts, *drops], key=itemgetter(0)))

    @property
    def held(self) -> int:
        """How many drops fell in their windows."""
        return sum(one.held for one in self.forecasts)


def report_page(session: Session, actor: Actor, project_id: int) -> ReportPage:
    """Read a project's report."""
    page = project_page(session, actor, project_id)
    shown = page.shown
    start, end = shown.started_on, shown.closed_on or actor.today
    brood_ids = {brood.id for brood in page.broods}
    return ReportPage(
        page,
        session.get_one(Fishroom, actor.fishroom_id).name,
        actor.today,
        span_words(start, end) if start else "",
        length_words((end - start).days) if start else "",
        _batches(session, actor, project_id),
        tuple(pasts(session, actor, Brood.id.in_(brood_ids))),
    )


def _batches(session: Session, actor: Actor, project_id: int) -> tuple[BatchRow, ...]:
    ids = young_of(session, actor, [project_id]).get(project_id, [])
    found = rows(session, Batch, Batch.id.in_(ids), order=(Batch.born_from, Batch.id))
    ledgers = books(session, actor.fishroom_id, ids)
    checks = rows(session, LengthCheck, LengthCheck.batch_id.in_(ids), order=LengthCheck.checked_on)
    last = {check.batch_id: check for check in checks}
    made = []
    for batch in found:
        ledger, check = ledgers[batch.id], last.get(batch.id)
        made.append(
            BatchRow(
                batch.id, batch.code, ledger.started, ledger.alive, ledger.lost, ledger.rehomed, ledger.kept,
                check.mean_mm if check else None,
                (check.checked_on - batch.born_to).days if check else None,
            )
        )  # fmt: skip
    return tuple(made)
