"""The rules about projects: when a tank comes free for the next one, and what a running one needs now."""

from collections.abc import Iterator
from datetime import date, timedelta

from app.core.reminders.facts import Facts, ProjectFact, Reminder, Subject
from app.core.windows import Window
from app.core.wording import window_words

CONDITION_DAYS = 14
"""One to two weeks of good food and rest before a pairing (common practice, no source)."""
START_DAYS = 3
"""So long before the tank is likely free there is time to turn it round (judgement)."""


def _about(project: ProjectFact) -> Subject:
    return Subject("project", project.id, project.aim)


def condition(facts: Facts) -> Iterator[Reminder]:
    """Ask to condition the fish of a project that can soon begin; then :func:`project_start` takes over."""
    for project in facts.projects:
        if project.start is None:
            continue
        notice = _notice(project, project.start, facts)
        lead = facts.leads.days("condition", project.line_id, CONDITION_DAYS)
        if facts.today >= notice:
            continue
        yield Reminder(
            f"condition:{project.id}:{project.tank_id}",
            "condition",
            _about(project),
            project.tank_id,
            project.start.start - timedelta(days=lead),
            notice - timedelta(days=1),
            f"Condition the fish for “{project.aim}”: choose them, feed well and in turns, and rest the dams "
            f"from males. {project.tank} is likely free {window_words(project.start, facts.today)}.",
            "waiting",
        )


def _notice(project: ProjectFact, start: Window, facts: Facts) -> date:
    return start.start - timedelta(days=facts.leads.days("project_start", project.line_id, START_DAYS))


def project_start(facts: Facts) -> Iterator[Reminder]:
    """Say that a tank comes free for a waiting project."""
    for project in facts.projects:
        if project.start is None:
            continue
        now = project.start.end <= facts.today
        when = "is free" if now else f"is likely free {window_words(project.start, facts.today)}"
        yield Reminder(
            f"project_start:{project.id}:{project.tank_id}",
            "project_start",
            _about(project),
            project.tank_id,
            _notice(project, project.start, facts),
            None,
            f"{project.tank} {when} for “{project.aim}”: turn it round, "
            "look the fish over, then start the project on its page.",
            "waiting",
        )


def project_stage(facts: Facts) -> Iterator[Reminder]:
    """Ask for the next open line of the stage that a running project has come to."""
    for project in facts.projects:
        if project.check_id is None:
            continue
        yield Reminder(
            f"project_stage:{project.check_id}",
            "project_stage",
            _about(project),
            project.tank_id,
            facts.today,
            None,
            f"“{project.aim}”: {project.check}.",
            "waiting",
        )
