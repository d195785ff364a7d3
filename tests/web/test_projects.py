"""The project pages."""

from app.services import pairings, projects
from app.store.projects import Project, ProjectState
from app.store.session import rows
from tests.factories import Made
from tests.support.client import Visitor


def planned(made: Made, aim: str = "More blue") -> Project:
    project = projects.plan_project(made.session, made.actor, aim=aim, line_id=made.line().id)
    made.session.commit()
    return project


def test_an_empty_page_teaches_what_a_project_is(visit: Visitor) -> None:
    assert "Plan the first project" in visit.open("/projects").words


def test_a_project_needs_a_line_first(visit: Visitor) -> None:
    assert "A line comes first" in visit.open("/projects/new").words


def test_a_project_is_planned(visit: Visitor, made: Made) -> None:
    line, tank = made.line(), made.tank("Rack")
    made.session.commit()
    page = visit.send(
        "/projects/new", aim="12 blue females", line_id=str(line.id), wanted="12", tank_id=str(tank.id)
    )
    assert "12 blue females" in page.words
    assert "Tank Rack is free" in page.words
    (project,) = rows(made.session, Project)
    assert (project.wanted, project.tank_id, project.state) == (12, tank.id, ProjectState.WAITING)


def test_a_project_without_an_aim_keeps_the_rest(visit: Visitor, made: Made) -> None:
    line = made.line()
    made.session.commit()
    page = visit.send("/projects/new", aim="", line_id=str(line.id), note="by autumn")
    assert page.status == 422
    assert (page.value("note") or "").strip() == "by autumn"


def test_the_queue_is_ordered_by_its_buttons(visit: Visitor, made: Made) -> None:
    planned(made, "One")
    two = planned(made, "Two")
    page = visit.post(f"/projects/{two.id}/place", "/projects", way="up")
    assert page.words.index("Two", page.words.index("The queue")) < page.words.rindex("One")
    assert [each.aim for each in projects.queued(made.session)] == ["Two", "One"]
    assert "first of the queue already" in visit.post(f"/projects/{two.id}/place", way="up").words


def test_a_project_is_started_rested_closed_and_reopened(visit: Visitor, made: Made) -> None:
    project = planned(made)
    home = f"/projects/{project.id}"
    assert "running since 15 June" in visit.post(f"/projects/{project.id}/start", home).words
    assert "resting" in visit.post(f"/projects/{project.id}/rest", home).words
    closed = visit.post(f"/projects/{project.id}/close", home, closing_note="Start with two sires.")
    assert "Start with two sires." in closed.words
    assert "closed on 15 June" in closed.words
    assert "waiting" in visit.post(f"/projects/{project.id}/reopen", home).words


def test_a_step_that_cannot_be_taken_is_refused(visit: Visitor, made: Made) -> None:
    project = planned(made)
    page = visit.post(f"/projects/{project.id}/rest", f"/projects/{project.id}")
    assert "cannot become resting" in page.words


def test_a_project_is_changed_and_its_closing_note_bettered(visit: Visitor, made: Made) -> None:
    project = planned(made)
    path = f"/projects/{project.id}/edit"
    line = str(project.line_id)
    assert visit.open(path).value("aim") == "More blue"
    page = visit.send(path, aim="Most blue", line_id=line, wanted="", tank_id="", note="")
    assert "Most blue" in page.words
    visit.post(f"/projects/{project.id}/close", f"/projects/{project.id}", closing_note="Old")
    page = visit.send(path, aim="Most blue", line_id=line, closing_note="New")
    assert "New" in page.words


def test_a_change_that_is_refused_keeps_what_was_typed(visit: Visitor, made: Made) -> None:
    project = planned(made)
    page = visit.send(f"/projects/{project.id}/edit", aim="", line_id=str(project.line_id), note="kept")
    assert page.status == 422
    assert (page.value("note") or "").strip() == "kept"


def test_a_pairing_made_for_it_stands_on_its_page(visit: Visitor, made: Made) -> None:
    project, line, section = planned(made), made.line(), made.section()
    dam, sire = made.dam(line, section), made.sire(line, section)
    pairings.make_pairing(
        made.session,
        made.actor,
        section_id=section.id,
        dam_ids=[dam.id],
        sire_ids=[sire.id],
        started_on=made.actor.today,
        project_id=project.id,
    )
    made.session.commit()
    assert f"{dam.code} × {sire.code}" in visit.open(f"/projects/{project.id}").words


def test_helpers_look_and_strangers_find_nothing(helping: Visitor, outsider: Visitor, made: Made) -> None:
    project = planned(made)
    assert "Start it" not in helping.open(f"/projects/{project.id}").words
    helping.open("/projects/new", expect=403)
    outsider.open(f"/projects/{project.id}", expect=404)
    outsider.open(f"/projects/{project.id}/edit", expect=404)
