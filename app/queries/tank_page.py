"""One tank: what is true of it now, what comes next there, its temperatures and its history."""

from dataclasses import dataclass

from sqlalchemy.orm import Session

from app.core.charts import Chart
from app.queries.case_links import CaseLink, open_cases
from app.queries.history import Event
from app.queries.plans import PlanShown, plans_shown
from app.queries.readings import LastReading, last_readings
from app.queries.tank_history import tank_history
from app.queries.tank_list import Ahead, ahead_in
from app.queries.tanks import TankShown, standing_words, tank_shown
from app.queries.temperatures import SPANS_SHOWN, chart_of_span
from app.queries.water_page import Level, water_words
from app.store.actor import Actor
from app.store.plans import Plan
from app.store.projects import Project, ProjectState
from app.store.session import find, rows
from app.store.tanks import Tank


@dataclass(frozen=True, slots=True)
class TankPage:
    """Everything the tank's page shows; ``span`` is how far back its chart looks."""

    tank: TankShown
    last: LastReading | None
    ahead: tuple[Ahead, ...]
    chart: Chart | None
    span: str
    history: tuple[Event, ...]
    more: bool
    projects: tuple[tuple[int, str, str], ...]
    cases: tuple[CaseLink, ...]
    plans: tuple[PlanShown, ...]
    water: tuple[Level, ...]

    @property
    def words(self) -> str:
        """Say who stands there."""
        return standing_words(self.tank.occupants)


def tank_page(
    session: Session, actor: Actor, tank_id: int, *, span: str = "quarter", every: bool = False
) -> TankPage:
    """Read one tank in a fixed number of statements."""
    span = span if span in SPANS_SHOWN else "quarter"
    tank = find(session, Tank, tank_id)
    shown = tank_shown(session, actor, tank.id)
    history, more = tank_history(session, actor, tank, every=every)
    return TankPage(
        shown,
        last_readings(session, actor, [tank.id]).get(tank.id),
        ahead_in(session, actor, shown.occupants),
        chart_of_span(session, actor, tank.id, shown.set_point_c, span),
        span,
        history,
        more,
        _projects(session, tank),
        _cases(session, shown),
        plans_shown(session, actor, Plan.tank_id == tank.id, Plan.ended_on.is_(None)),
        water_words(session, actor, tank),
    )


def _cases(session: Session, tank: TankShown) -> tuple[CaseLink, ...]:
    """Return the open cases of the tank, and of who stands there."""
    fish = [one.id for one in tank.occupants if one.kind == "fish"]
    batches = [one.id for one in tank.occupants if one.kind == "batch"]
    return open_cases(session, fish_ids=fish, batch_ids=batches, tank_ids=[tank.id])


def _projects(session: Session, tank: Tank) -> tuple[tuple[int, str, str], ...]:
    found = rows(session, Project, Project.tank_id == tank.id, Project.state != ProjectState.CLOSED)
    return tuple((project.id, project.aim, project.state.value) for project in found)
