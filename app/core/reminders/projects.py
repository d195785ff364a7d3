"""The rules about projects: when a tank comes free for the next one, and what a running one needs now."""

from collections.abc import Iterator
from datetime import timedelta

from app.core.reminders.facts import Facts, ProjectFact, Reminder, Subject
from app.core.wording import window_words

START_DAYS = 7
"""A week to choose and condition the fish and to turn the tank round (judgement)."""


def _about(project: ProjectFact) -> Subject:
    return Subject("project", project.id, project.aim)


def project_start(facts: Facts) -> Iterator[Reminder]:
    """Say that a tank comes free for a waiting project."""
    for project in facts.projects:
        if project.start is None:
            continue
        lead = facts.leads.days("project_start", project.line_id, START_DAYS)
        now = project.start.end <= facts.today
        when = "is free" if now else f"is likely free {window_words(project.start, facts.today)}"
        yield Reminder(
            f"project_start:{project.id}:{project.tank_id}",
            "project_start",
            _about(project),
            project.tank_id,
            project.start.start - timedelta(days=lead),
            None,
            f"{project.tank} {when} for “{project.aim}”: choose the fish, feed them well, "
            "then start it on its page.",
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
            f"“{project.aim}”: {project.check}. Tick it on the project's page.",
            "waiting",
        )
