"""The plan: tanks that come free, projects that wait for them, and what a change would do."""

from datetime import timedelta

from app.queries.planning import WhatIf, plan_of, plan_page
from app.services import projects
from app.services.projects import Needs
from app.store.actor import Actor
from app.store.lines import Line
from app.store.projects import Project
from app.store.session import RoomSession
from tests.factories import Made
from tests.support.client import Visitor
from tests.support.statements import statements


def wanting(made: Made, line: Line, aim: str, tank_id: int | None = None, **needs: object) -> Project:
    return projects.plan_project(
        made.session, made.actor, aim=aim, line_id=line.id, tank_id=tank_id,
        needs=Needs(**needs),  # type: ignore[arg-type]
    )  # fmt: skip


def test_an_empty_tank_can_be_had_now(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank, line = made.tank("A"), made.line()
    project = wanting(made, line, "First", tank.id)
    planned = plan_of(session, keeper).project(project.id)
    assert planned is not None
    assert (planned.tank, planned.start_words) == ("A", "can start now")
    assert planned.end_words.startswith("would end ")


def test_young_fish_hold_the_tank_until_they_are_ready_and_it_is_turned_round(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    section, line = made.section(made.tank("A")), made.line()
    made.batch(line, section, age_days=30)
    project = wanting(made, line, "Next", section.tank_id)
    planned = plan_of(session, keeper).project(project.id)
    assert planned is not None
    assert planned.slot.starts is not None
    assert planned.slot.starts > keeper.today + timedelta(days=20)
    assert planned.ribbon is not None


def test_two_projects_that_want_one_tank_are_told_with_the_choices(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank, other, line = made.tank("A"), made.tank("B"), made.line()
    first = wanting(made, line, "First", tank.id, lasts_from_days=60, lasts_to_days=60)
    second = wanting(made, line, "Second", tank.id, lasts_from_days=30, lasts_to_days=30)
    plan = plan_of(session, keeper)
    one, two = plan.project(first.id), plan.project(second.id)
    assert one is not None
    assert two is not None
    assert one.clash_words == ""
    assert two.slot.starts == keeper.today + timedelta(days=63), "60 days and 3 to turn it round"
    assert two.clash_words == "It wants A now, and so does “First” before it."
    assert [choice.words for choice in two.choices] == [f"in {other.name}", "before “First”"]


def test_a_project_looks_only_at_tanks_that_are_large_enough(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    small, line = made.tank("A"), made.line()
    project = wanting(made, line, "Long fins", least_litres=small.litres + 1)
    plan = plan_of(session, keeper)
    assert plan.project(project.id) is None
    assert plan.homeless == ((project.id, "Long fins"),)


def test_what_is_tried_moves_the_plan_and_saves_nothing(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank, line = made.tank("A"), made.line()
    project = wanting(made, line, "First", tank.id)
    page = plan_page(session, keeper, WhatIf(project.id, delay_days=30))
    assert page.tried is not None
    moved = page.tried.project(project.id)
    assert moved is not None
    assert moved.slot.starts == keeper.today + timedelta(days=30)
    assert [one.aim for one in page.moved] == ["First"]
    assert project not in session.dirty
    assert project.not_before is None


def test_fish_that_go_smaller_free_the_tank_earlier(session: RoomSession, keeper: Actor, made: Made) -> None:
    section, line = made.section(made.tank("A")), made.line()
    made.batch(line, section, age_days=30)
    project = wanting(made, line, "Next", section.tank_id)
    as_it_is = plan_of(session, keeper).project(project.id)
    smaller = plan_of(session, keeper, WhatIf(sale_length_mm=15)).project(project.id)
    assert as_it_is is not None
    assert smaller is not None
    assert (smaller.slot.starts or keeper.today) < (as_it_is.slot.starts or keeper.today)


def test_the_plan_costs_the_same_statements_with_more_projects(visit: Visitor, made: Made) -> None:
    line = made.line()
    for n in range(3):
        made.batch(line, made.section(made.tank(f"T{n}")))
        wanting(made, line, f"Project {n}")
    made.session.commit()
    few = statements(visit, "/projects/plan")
    for n in range(3, 9):
        made.batch(line, made.section(made.tank(f"T{n}")))
        wanting(made, line, f"Project {n}")
    made.session.commit()
    assert statements(visit, "/projects/plan") == few


def test_all_windows_of_a_plan_are_drawn_on_the_same_dates(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line = made.line()
    for age, name in ((30, "A"), (5, "B")):
        section = made.section(made.tank(name))
        made.batch(line, section, age_days=age)
        wanting(made, line, name, section.tank_id)
    plan = plan_of(session, keeper)
    every = [*(tank.ribbon for tank in plan.tanks), *(one.ribbon for one in plan.projects)]
    drawn = [ribbon for ribbon in every if ribbon]
    assert len(drawn) == 4
    assert len({(ribbon.start, ribbon.end) for ribbon in drawn}) == 1
    assert all(ribbon.today_x is not None for ribbon in drawn)
    assert max(ribbon.edge_to_x for ribbon in drawn) < 1000
