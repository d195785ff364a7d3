"""Projects from plan to closing note."""

import pytest

from app.services import projects, tanks
from app.services.refusals import Refused
from app.services.undo import undo
from app.store.actor import Actor, Forbidden
from app.store.journal import Act
from app.store.projects import Project, ProjectState
from app.store.session import RoomSession, rows
from tests.conftest import People
from tests.factories import Made


def planned(made: Made, aim: str = "More blue") -> Project:
    return projects.plan_project(made.session, made.actor, aim=aim, line_id=made.line().id)


def test_a_project_joins_the_end_of_the_queue(session: RoomSession, keeper: Actor, made: Made) -> None:
    one, two = planned(made, "One"), planned(made, "Two")
    assert [each.aim for each in projects.queued(session)] == ["One", "Two"]
    assert one.state is two.state is ProjectState.WAITING


def test_the_queue_is_put_in_order_step_by_step(session: RoomSession, keeper: Actor, made: Made) -> None:
    one, two, three = planned(made, "One"), planned(made, "Two"), planned(made, "Three")
    projects.reorder(session, keeper, three.id, up=True)
    assert [each.aim for each in projects.queued(session)] == ["One", "Three", "Two"]
    projects.reorder(session, keeper, one.id, up=False)
    assert [each.aim for each in projects.queued(session)] == ["Three", "One", "Two"]
    with pytest.raises(Refused, match="last of the queue"):
        projects.reorder(session, keeper, two.id, up=False)


def test_only_waiting_projects_queue(session: RoomSession, keeper: Actor, made: Made) -> None:
    project = planned(made)
    projects.take_step(session, keeper, project.id, ProjectState.RUNNING)
    with pytest.raises(Refused, match="only waiting ones queue"):
        projects.reorder(session, keeper, project.id, up=True)


def test_a_project_runs_rests_closes_and_comes_back(session: RoomSession, keeper: Actor, made: Made) -> None:
    project = planned(made)
    planned(made, "Another")
    projects.take_step(session, keeper, project.id, ProjectState.RUNNING)
    assert project.started_on == keeper.today
    projects.take_step(session, keeper, project.id, ProjectState.RESTING)
    projects.take_step(session, keeper, project.id, ProjectState.CLOSED, closing_note=" Two males fewer. ")
    assert (project.closed_on, project.closing_note) == (keeper.today, "Two males fewer.")
    projects.take_step(session, keeper, project.id, ProjectState.WAITING)
    session.refresh(project)
    assert {project.closed_on, project.started_on} == {None}
    assert projects.queued(session)[-1] is project


def test_a_waiting_project_cannot_rest(session: RoomSession, keeper: Actor, made: Made) -> None:
    with pytest.raises(Refused, match="cannot become resting"):
        projects.take_step(session, keeper, planned(made).id, ProjectState.RESTING)


def test_closing_is_taken_back(session: RoomSession, keeper: Actor, made: Made) -> None:
    project = planned(made)
    projects.take_step(session, keeper, project.id, ProjectState.CLOSED, closing_note="x")
    undo(session, keeper, rows(session, Act)[-1].id)
    back = rows(session, Project, Project.id == project.id)[0]
    assert (back.state, back.closed_on, back.closing_note) == (ProjectState.WAITING, None, "")


@pytest.mark.parametrize(
    ("aim", "wanted", "field"), [(" ", None, "aim"), ("x" * 200, None, "aim"), ("More", 0, "wanted")]
)
def test_an_impossible_project_is_refused_by_its_field(
    session: RoomSession, keeper: Actor, made: Made, aim: str, wanted: int | None, field: str
) -> None:
    with pytest.raises(Refused) as refusal:
        projects.plan_project(session, keeper, aim=aim, line_id=made.line().id, wanted=wanted)
    assert refusal.value.field == field


def test_a_tank_that_was_taken_down_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank = made.tank()
    tanks.close_tank(session, keeper, tank.id)
    with pytest.raises(Refused, match="taken down"):
        projects.plan_project(session, keeper, aim="More", line_id=made.line().id, tank_id=tank.id)


def test_an_edit_leaves_the_closing_note_unless_it_is_given(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    project = planned(made)
    projects.take_step(session, keeper, project.id, ProjectState.CLOSED, closing_note="Fewer")
    line = project.line_id
    projects.edit_project(
        session, keeper, project.id, aim="Most blue", line_id=line, tank_id=None, wanted=12, note=""
    )
    assert (project.aim, project.wanted, project.closing_note) == ("Most blue", 12, "Fewer")


def test_a_helper_plans_nothing(session: RoomSession, keeper: Actor, people: People, made: Made) -> None:
    line = made.line()
    with pytest.raises(Forbidden):
        projects.plan_project(session, people.helper, aim="More", line_id=line.id)
