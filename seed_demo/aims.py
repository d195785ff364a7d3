"""Plays the projects: planned, started, rested, closed."""

from app.services import project_checks, project_money, projects
from app.store.projects import MoneyKind, ProjectCheck, ProjectState
from app.store.projects import Stage as ProjectStage
from app.store.session import rows
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


def tick(stage: Stage, row: Row) -> None:
    """Tick the checklist's open lines off, up to and with a stage."""
    stages = list(ProjectStage)
    done = stages[: stages.index(ProjectStage(row.text("until"))) + 1]
    for check in rows(
        stage.session,
        ProjectCheck,
        ProjectCheck.project_id == stage.project(row.text("aim")),
        ProjectCheck.stage.in_(done),
        ProjectCheck.done_on.is_(None),
        order=ProjectCheck.position,
    ):
        project_checks.tick(stage.session, stage.actor, check.id, done=True)


def spend(stage: Stage, row: Row) -> None:
    """Write down a cost or an income."""
    project_money.log_money(
        stage.session,
        stage.actor,
        stage.project(row.text("aim")),
        kind=MoneyKind(row.text("kind")),
        amount=float(row.text("amount")),
        words=row.text("words"),
    )
