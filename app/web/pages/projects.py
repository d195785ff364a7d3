"""Projects: the queue, one project, and its steps from plan to closing notes."""

from flask import Blueprint, request, url_for

from app.queries.project_report import report_page
from app.queries.projects import project_choices, project_page, projects_page
from app.services import projects
from app.store.projects import Project, ProjectState
from app.web.db import db
from app.web.forms.base import ActForm, text
from app.web.forms.choosing import picked, row
from app.web.forms.projects import CheckForm, CloseForm, MoneyForm, ProjectEditForm, ProjectForm
from app.web.signin import actor
from app.web.views import View, again, attempt, done, refused, show

pages = Blueprint("projects", __name__)


@pages.get("/projects")
def listing() -> View:
    """Show the projects by state."""
    return show("pages/projects/listing.html", page=projects_page(db(), actor()))


@pages.get("/projects/new")
def new() -> View:
    """Ask what is planned."""
    actor().must_manage()
    return show("pages/projects/new.html", form=_form())


@pages.post("/projects/new")
def add() -> View:
    """Plan a project."""
    form = _form()
    made = attempt(form, lambda: _plan(form))
    if made is None:
        return again("pages/projects/new.html", form=form)
    return done(url_for("projects.page", project_id=made.id))


def _form() -> ProjectForm:
    form = ProjectForm(line_id=request.args.get("line", type=row), tank_id=request.args.get("tank", type=row))
    form.offer(project_choices(db()))
    return form


def _plan(form: ProjectForm) -> Project:
    return projects.plan_project(
        db(),
        actor(),
        aim=text(form.aim),
        line_id=picked(form.line_id) or 0,
        tank_id=picked(form.tank_id),
        wanted=form.wanted.data,
        note=text(form.note),
        needs=form.needs,
    )


@pages.get("/projects/<int:project_id>")
def page(project_id: int) -> View:
    """Show one project."""
    found = project_page(db(), actor(), project_id)
    return show(
        "pages/projects/page.html", page=found, close=CloseForm(), check=CheckForm(), spent=MoneyForm()
    )


@pages.get("/projects/<int:project_id>/report")
def report(project_id: int) -> View:
    """Show the project's report, to read and to print."""
    return show("pages/projects/report.html", page=report_page(db(), actor(), project_id))


@pages.get("/projects/<int:project_id>/edit")
def edit(project_id: int) -> View:
    """Ask what changes."""
    found = project_page(db(), actor(), project_id).shown
    actor().must_manage()
    form = ProjectEditForm(obj=found, tank_id=found.tank.id if found.tank else None)
    form.offer(project_choices(db()))
    return show("pages/projects/edit.html", page=found, form=form)


@pages.post("/projects/<int:project_id>/edit")
def change(project_id: int) -> View:
    """Change a project."""
    found = project_page(db(), actor(), project_id).shown
    form = ProjectEditForm()
    form.offer(project_choices(db()))
    if attempt(form, lambda: _edit(project_id, form)) is None:
        return again("pages/projects/edit.html", page=found, form=form)
    return done(url_for("projects.page", project_id=project_id))


def _edit(project_id: int, form: ProjectEditForm) -> Project:
    return projects.edit_project(
        db(),
        actor(),
        project_id,
        aim=text(form.aim),
        line_id=picked(form.line_id) or 0,
        tank_id=picked(form.tank_id),
        wanted=form.wanted.data,
        note=text(form.note),
        closing_note=text(form.closing_note) if request.form.get("closing_note") is not None else None,
        needs=form.needs,
    )


def _step(project_id: int, state: ProjectState, note: str = "") -> View:
    form = ActForm()
    home = url_for("projects.page", project_id=project_id)
    made = attempt(form, lambda: projects.take_step(db(), actor(), project_id, state, closing_note=note))
    return refused(home, form) if made is None else done(home)


@pages.post("/projects/<int:project_id>/start")
def start(project_id: int) -> View:
    """Start a project, or take it up again."""
    return _step(project_id, ProjectState.RUNNING)


@pages.post("/projects/<int:project_id>/rest")
def rest(project_id: int) -> View:
    """Let a running project rest."""
    return _step(project_id, ProjectState.RESTING)


@pages.post("/projects/<int:project_id>/close")
def close(project_id: int) -> View:
    """Close a project with what was learned."""
    return _step(project_id, ProjectState.CLOSED, text(CloseForm().closing_note))


@pages.post("/projects/<int:project_id>/reopen")
def reopen(project_id: int) -> View:
    """Put a closed project back at the end of the queue."""
    return _step(project_id, ProjectState.WAITING)


@pages.post("/projects/<int:project_id>/place")
def place(project_id: int) -> View:
    """Move a waiting project up or down the queue."""
    form = ActForm()
    up = request.form.get("way") == "up"
    made = attempt(form, lambda: projects.reorder(db(), actor(), project_id, up=up))
    home = url_for("projects.listing")
    return refused(home, form) if made is None else done(home)
