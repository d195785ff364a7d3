"""Plays the projects: planned, started, rested, closed."""

from app.services import projects
from app.store.projects import ProjectState
from seed_demo.script import Row
from seed_demo.stage import Stage


def plan(stage: Stage, row: Row) -> None:
    """Put a project at the end of the queue."""
    projects.plan_project(
        stage.session,
        stage.actor,
        aim=row.text("aim"),
        line_id=stage.line(row.text("line")),
        tank_id=stage.tank(row.text("tank")),
        wanted=row.whole_or_none("wanted"),
        note=row.text("note"),
    )


def step(stage: Stage, row: Row) -> None:
    """Take a project to its next state; the note counts when it closes."""
    projects.take_step(
        stage.session,
        stage.actor,
        stage.project(row.text("aim")),
        ProjectState(row.text("state")),
        closing_note=row.text("note"),
    )
