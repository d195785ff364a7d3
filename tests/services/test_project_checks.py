"""Checklists: usual lines at first, the keeper's own, ticked and taken off."""

import pytest

from app.services import project_checks, projects
from app.services.refusals import Refused
from app.store.actor import Actor, Forbidden
from app.store.projects import Project, ProjectCheck, Stage
from app.store.session import RoomSession, rows
from tests.conftest import People
from tests.factories import Made


def planned(made: Made) -> Project:
    return projects.plan_project(made.session, made.actor, aim="More blue", line_id=made.line().id)


def test_a_new_project_begins_with_the_usual_lines(session: RoomSession, made: Made) -> None:
    project = planned(made)
    found = rows(session, ProjectCheck, ProjectCheck.project_id == project.id, order=ProjectCheck.position)
    assert [each.words for each in found] == [words for _, words in project_checks.USUAL]
    assert {each.stage for each in found} == set(Stage)


def test_a_line_is_added_last_ticked_and_opened_again(
    session: RoomSession, keeper: Actor, people: People, made: Made
) -> None:
    project = planned(made)
    line = project_checks.add_check(session, keeper, project.id, stage=Stage.PAIR, words=" Photograph both ")
    assert (line.words, line.position) == ("Photograph both", len(project_checks.USUAL) + 1)
    project_checks.tick(session, people.helper, line.id, done=True)
    assert line.done_on == keeper.today
    project_checks.tick(session, people.helper, line.id, done=False)
    assert line.done_on is None


def test_an_empty_line_and_one_too_long_are_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    project = planned(made)
    for words, said in ((" ", "What is to be done"), ("x" * 161, "at most 160 letters")):
        with pytest.raises(Refused, match=said):
            project_checks.add_check(session, keeper, project.id, stage=Stage.PAIR, words=words)


def test_only_the_keeper_changes_the_list_itself(session: RoomSession, people: People, made: Made) -> None:
    project = planned(made)
    line = rows(session, ProjectCheck, ProjectCheck.project_id == project.id)[0]
    with pytest.raises(Forbidden):
        project_checks.remove_check(session, people.helper, line.id)
    project_checks.remove_check(session, people.keeper, line.id)
    assert session.get(ProjectCheck, line.id) is None
