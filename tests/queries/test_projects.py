"""The project pages' contents."""

from app.queries.projects import project_page, projects_page
from app.services import pairings, projects
from app.services.broods import log_drop
from app.store.actor import Actor
from app.store.projects import Project, ProjectState
from app.store.session import RoomSession
from tests.factories import Made
from tests.support.client import Visitor
from tests.support.statements import statements


def bred(made: Made, aim: str) -> Project:
    """Return a running project with a pairing, a brood and a tank that holds the fry."""
    session, actor, line, section = made.session, made.actor, made.line(), made.section()
    dam, male = made.dam(line), made.sire(line)
    project = projects.plan_project(session, actor, aim=aim, line_id=line.id, tank_id=section.tank_id)
    pairings.make_pairing(
        session,
        actor,
        section_id=section.id,
        dam_ids=[dam.id],
        sire_ids=[male.id],
        started_on=made.days_ago(40),
        project_id=project.id,
    )
    log_drop(session, actor, dam_id=dam.id, dropped_from=made.days_ago(8), live=14)
    projects.take_step(session, actor, project.id, ProjectState.RUNNING)
    session.commit()
    return project


def test_projects_stand_by_state_and_the_queue_in_order(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line = made.line()
    planned = [
        projects.plan_project(session, keeper, aim=aim, line_id=line.id) for aim in ("One", "Two", "Three")
    ]
    projects.take_step(session, keeper, planned[0].id, ProjectState.RUNNING)
    projects.reorder(session, keeper, planned[2].id, up=True)
    page = projects_page(session, keeper)
    assert [p.aim for p in page.running] == ["One"]
    assert [p.aim for p in page.waiting] == ["Three", "Two"]


def test_a_project_gathers_its_pairings_and_broods(session: RoomSession, keeper: Actor, made: Made) -> None:
    project = bred(made, "More blue")
    page = project_page(session, keeper, project.id)
    assert (page.shown.pairings, page.shown.young, page.shown.alive) == (1, 14, 14)
    assert [brood.live for brood in page.broods] == [14]
    assert len(page.pairings) == 1
    assert [event.words for event in page.history] == ["Project started", "Project planned"]


def test_a_tank_with_fry_is_free_in_a_window_and_names_the_adults(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank = project_page(session, keeper, bred(made, "More blue").id).shown.tank
    assert tank is not None
    assert tank.free is not None
    assert tank.free.start > keeper.today
    assert tank.words == "2 adults would have to move"
    assert not tank.empty


def test_many_projects_cost_no_more_statements_than_few(visit: Visitor, made: Made) -> None:
    for number in range(2):
        bred(made, f"Aim {number}")
    few = statements(visit, "/projects")
    for number in range(5):
        bred(made, f"Other aim {number}")
    assert statements(visit, "/projects") == few
