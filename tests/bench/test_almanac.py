"""How long the almanac of a large fishroom takes, and that its statements do not grow with it."""

from time import process_time

import pytest

from app.services import projects
from app.store.lines import Line
from app.store.projects import ProjectState
from app.store.session import rows
from app.store.tanks import Tank
from tests.factories import Made
from tests.queries.test_lanes import course
from tests.queries.test_planning import wanting
from tests.support.client import Visitor
from tests.support.statements import statements
from tests.web.test_rounds import furnish

pytestmark = pytest.mark.bench
PATHS = ("/almanac", "/almanac?span=year&kind=project", "/almanac/tanks?weeks=52", "/almanac/month")
SECONDS = 1.0
"""Of the processor, for the slowest: twelve windows a tank, drawn day by day (judgement)."""


def grow(made: Made, tanks: int) -> None:
    """Put up tanks with a dam and a batch; on every third a project waits or runs, on every sixth a plan."""
    furnish(made, tanks)
    line = rows(made.session, Line)[0]
    for n, tank in enumerate(rows(made.session, Tank, order=(Tank.id.desc(),))[:tanks]):
        if n % 3 == 0:
            project = wanting(made, line, f"Aim {tank.id}", tank.id)
            if n % 2:
                projects.take_step(made.session, made.actor, project.id, ProjectState.RUNNING)
        if n % 6 == 0:
            course(made, tank.id, (0, 3))
    made.session.commit()


def spent(visit: Visitor, path: str) -> float:
    """Return the processor's seconds for a page, since other work may share it."""
    begun = process_time()
    assert visit.client.get(path).status_code == 200
    return process_time() - begun


def test_the_almanac_of_sixty_tanks_costs_no_more_statements_and_under_a_second(
    visit: Visitor, made: Made
) -> None:
    grow(made, 6)
    few = {path: statements(visit, path) for path in PATHS}
    grow(made, 54)
    assert {path: statements(visit, path) for path in PATHS} == few
    took = {path: min(spent(visit, path) for _ in range(3)) for path in PATHS}
    assert max(took.values()) < SECONDS, took
