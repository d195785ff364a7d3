"""The project pages."""

from app.services import broods, pairings, projects
from app.store.projects import Project, ProjectCheck, ProjectMoney, ProjectState
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
    assert "Can start now in Rack" in page.words
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


def test_the_queue_says_when_each_project_can_start(visit: Visitor, made: Made) -> None:
    made.tank("Rack")
    planned(made)
    page = visit.open("/projects")
    assert "Can start now in Rack ; would end" in page.words


def test_a_change_is_tried_on_the_plan(visit: Visitor, made: Made) -> None:
    made.tank("Rack")
    project = planned(made)
    page = visit.open(f"/projects/plan?project={project.id}&delay=30&tank=&sale=")
    assert "With the change you try" in page.words
    assert "Nothing is saved" in page.words
    assert visit.open("/projects/plan?delay=soon").words.count("is not a whole number") == 2


def test_how_the_fishroom_plans_is_changed(visit: Visitor, made: Made) -> None:
    visit.send("/projects/plan", turn_round_days="5", money="EUR")
    page = visit.open("/projects/plan")
    assert (page.value("turn_round_days"), page.value("money")) == ("5", "EUR")
    page = visit.send("/projects/plan", turn_round_days="500", money="EUR")
    assert page.status == 422
    assert page.value("turn_round_days") == "500"


def test_a_projects_checklist_is_ticked(visit: Visitor, made: Made) -> None:
    project = planned(made)
    check = rows(made.session, ProjectCheck, ProjectCheck.project_id == project.id)[0]
    page = visit.post(f"/projects/checks/{check.id}", f"/projects/{project.id}", done="yes")
    assert "Plan: 1 to do" in page.words
    page = visit.post(f"/projects/{project.id}/checks", f"/projects/{project.id}", words="", stage="pair")
    assert page.status == 422
    visit.post(f"/projects/{project.id}/checks", f"/projects/{project.id}", words="Measure", stage="pair")
    assert "Measure" in visit.open(f"/projects/{project.id}").words
    visit.post(f"/projects/checks/{check.id}/remove", f"/projects/{project.id}")
    assert check.words not in visit.open(f"/projects/{project.id}").words.split("History")[0]


def test_costs_and_incomes_add_up(visit: Visitor, made: Made) -> None:
    project = planned(made)
    here = f"/projects/{project.id}"
    visit.post(f"/projects/{project.id}/money", here, kind="cost", amount="12.50", words="A pair")
    visit.post(f"/projects/{project.id}/money", here, kind="cost", amount="2.50", words="Moss")
    page = visit.open(here)
    assert "Cost 15.00" in page.words
    money = rows(made.session, ProjectMoney)[0]
    visit.post(f"/projects/money/{money.id}/remove", here)
    assert "Cost 2.50" in visit.open(here).words
    page = visit.post(f"/projects/{project.id}/money", here, kind="cost", amount="much", words="A pair")
    assert page.status == 422
    assert page.value("words") == "A pair"


def test_a_report_holds_the_numbers_on_one_sheet(visit: Visitor, made: Made) -> None:
    project, line, section = planned(made), made.line(), made.section()
    dam, sire = made.dam(line, section), made.sire(line, section)
    projects.take_step(made.session, made.actor, project.id, ProjectState.RUNNING)
    pairings.make_pairing(
        made.session, made.actor, section_id=section.id, dam_ids=[dam.id], sire_ids=[sire.id],
        started_on=made.days_ago(30), project_id=project.id,
    )  # fmt: skip
    broods.log_drop(made.session, made.actor, dam_id=dam.id, dropped_from=made.days_ago(2), live=14)
    made.session.commit()
    page = visit.open(f"/projects/{project.id}/report")
    assert "Numbers, survival and size" in page.words
    assert "100 %" in page.words
    assert "More blue" in page.words


def test_a_running_project_says_its_next_line_and_ticks_it_there(visit: Visitor, made: Made) -> None:
    project = planned(made)
    projects.take_step(made.session, made.actor, project.id, ProjectState.RUNNING)
    made.session.commit()
    first, second = rows(made.session, ProjectCheck, ProjectCheck.project_id == project.id)[:2]
    assert f"What comes next {first.words}." in visit.open(f"/projects/{project.id}").words
    visit.post(f"/projects/checks/{first.id}", f"/projects/{project.id}", done="yes")
    assert f"What comes next {second.words}" in visit.open(f"/projects/{project.id}").words


def test_a_report_tells_acts_and_drops_in_the_order_of_their_days(visit: Visitor, made: Made) -> None:
    project, line, section = planned(made), made.line(), made.section()
    dam, sire = made.dam(line, section), made.sire(line, section)
    pairings.make_pairing(
        made.session, made.actor, section_id=section.id, dam_ids=[dam.id], sire_ids=[sire.id],
        started_on=made.days_ago(40), project_id=project.id,
    )  # fmt: skip
    broods.log_drop(made.session, made.actor, dam_id=dam.id, dropped_from=made.days_ago(2), live=14)
    made.session.commit()
    told = visit.open(f"/projects/{project.id}/report").words
    assert told.index("dropped 14 live fry") < told.index("Project planned")
