"""The rules about projects, by dates alone."""

from datetime import date, timedelta

from app.core.reminders import Facts, ProjectFact, due
from app.core.reminders.facts import Leads
from app.core.reminders.projects import condition, project_stage, project_start
from app.core.windows import Window

TODAY = date(2026, 6, 15)


def waiting(start: int, end: int) -> ProjectFact:
    window = Window(TODAY + timedelta(days=start), TODAY + timedelta(days=end))
    return ProjectFact(4, "More blue", 2, 3, "B3", start=window)


def test_a_tank_that_comes_free_is_told_with_its_window() -> None:
    (found,) = project_start(Facts(TODAY, projects=(waiting(5, 20),)))
    assert (found.key, found.due, found.tank_id) == ("project_start:4:3", TODAY + timedelta(days=2), 3)
    assert found.words == (
        "B3 is likely free 20 June – 5 July for “More blue”: turn it round, look the fish over, "
        "then start the project on its page."
    )


def test_the_fish_of_a_project_are_conditioned_before_its_tank_is_free() -> None:
    (found,) = condition(Facts(TODAY, projects=(waiting(10, 20),)))
    assert (found.due, found.until) == (TODAY - timedelta(days=4), TODAY + timedelta(days=6))
    assert found.words == (
        "Condition the fish for “More blue”: choose them, feed well and in turns, and rest the dams "
        "from males. B3 is likely free 25 June – 5 July."
    )


def test_conditioning_and_the_free_tank_are_never_told_together() -> None:
    for start in range(-2, 20):
        facts = Facts(TODAY, projects=(waiting(start, start + 10),))
        assert len(due(facts, {})) <= 1


def test_a_tank_that_is_free_is_told_so() -> None:
    (found,) = project_start(Facts(TODAY, projects=(waiting(-3, 0),)))
    assert found.words.startswith("B3 is free for “More blue”")


def test_the_keeper_chooses_how_early() -> None:
    leads = Leads({("project_start", None): 14})
    (found,) = project_start(Facts(TODAY, projects=(waiting(20, 30),), leads=leads))
    assert found.due == TODAY + timedelta(days=6)


def test_one_open_line_of_the_stage_is_asked_for() -> None:
    project = ProjectFact(4, "More blue", 2, 3, "B3", check_id=9, check="Keepers chosen and marked")
    (found,) = project_stage(Facts(TODAY, projects=(project,)))
    assert (found.key, found.due) == ("project_stage:9", TODAY)
    assert found.words == "“More blue”: Keepers chosen and marked."


def test_a_project_with_nothing_to_do_is_silent() -> None:
    facts = Facts(TODAY, projects=(ProjectFact(4, "More blue", 2, 3, "B3"),))
    assert [*project_start(facts), *project_stage(facts)] == []
