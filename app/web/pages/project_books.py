"""A project's checklist and money, and how the fishroom plans."""

from flask import Blueprint, request, url_for

from app.queries.planning import plan_page
from app.queries.projects import project_page
from app.services import fishrooms, project_checks, project_money
from app.store.fishrooms import Fishroom
from app.store.projects import MoneyKind, Stage
from app.web.db import db
from app.web.forms.base import ActForm, text
from app.web.forms.projects import CheckForm, CloseForm, MoneyForm, PlanningForm, WhatIfForm
from app.web.signin import actor
from app.web.views import View, again, attempt, back, done, refused, show

pages = Blueprint("project_books", __name__)


@pages.get("/projects/plan")
def plan() -> View:
    """Show when tanks come free and projects can start, and what a change would do."""
    form = WhatIfForm()
    page = plan_page(db(), actor(), form.tried if form.validate() else None)
    form.offer([(p.id, p.aim) for p in page.plan.projects], [(t.id, t.name) for t in page.plan.tanks])
    return show("pages/projects/plan.html", page=page, form=form, planning=PlanningForm(obj=page))


@pages.post("/projects/plan")
def change() -> View:
    """Change how long tanks are turned round, and what money is counted in."""
    planning = PlanningForm()
    if attempt(planning, lambda: _change(planning)) is not None:
        return done(url_for("project_books.plan"))
    form, page = WhatIfForm(), plan_page(db(), actor(), None)
    form.offer([(p.id, p.aim) for p in page.plan.projects], [(t.id, t.name) for t in page.plan.tanks])
    return again("pages/projects/plan.html", page=page, form=form, planning=planning)


def _change(form: PlanningForm) -> Fishroom:
    days = int(form.turn_round_days.data or 0)
    return fishrooms.set_planning(db(), actor(), turn_round_days=days, money=text(form.money))


def _again(project_id: int, check: CheckForm | None = None, spent: MoneyForm | None = None) -> View:
    """Show the project with what was typed."""
    return again(
        "pages/projects/page.html",
        page=project_page(db(), actor(), project_id),
        close=CloseForm(),
        check=check or CheckForm(),
        spent=spent or MoneyForm(),
    )


@pages.post("/projects/<int:project_id>/checks")
def add_check(project_id: int) -> View:
    """Add a line to the checklist."""
    form, home = CheckForm(), url_for("projects.page", project_id=project_id)
    made = attempt(
        form,
        lambda: project_checks.add_check(
            db(), actor(), project_id, stage=Stage(form.stage.data), words=text(form.words)
        ),
    )
    return _again(project_id, check=form) if made is None else done(f"{home}#checklist")


@pages.post("/projects/checks/<int:check_id>")
def tick(check_id: int) -> View:
    """Tick a line, or open it again: from the project, or from the rounds."""
    form, is_done = ActForm(), request.form.get("done") == "yes"
    made = attempt(form, lambda: project_checks.tick(db(), actor(), check_id, done=is_done))
    if made is None:
        return refused(back(url_for("projects.listing")), form)
    return done(back(url_for("projects.page", project_id=made.project_id, _anchor="checklist")))


@pages.post("/projects/checks/<int:check_id>/remove")
def remove_check(check_id: int) -> View:
    """Take a line off."""
    form = ActForm()
    made = attempt(form, lambda: project_checks.remove_check(db(), actor(), check_id))
    if made is None:
        return refused(url_for("projects.listing"), form)
    return done(url_for("projects.page", project_id=made.project_id, _anchor="checklist"))


@pages.post("/projects/<int:project_id>/money")
def log_money(project_id: int) -> View:
    """Write down a cost or an income."""
    form, home = MoneyForm(), url_for("projects.page", project_id=project_id)
    made = attempt(
        form,
        lambda: project_money.log_money(
            db(),
            actor(),
            project_id,
            kind=MoneyKind(form.kind.data),
            amount=float(form.amount.data or 0),
            words=text(form.words),
            on=form.on.data,
        ),
    )
    return _again(project_id, spent=form) if made is None else done(f"{home}#money")


@pages.post("/projects/money/<int:money_id>/remove")
def remove_money(money_id: int) -> View:
    """Take a cost or an income out."""
    form = ActForm()
    made = attempt(form, lambda: project_money.remove_money(db(), actor(), money_id))
    if made is None:
        return refused(url_for("projects.listing"), form)
    return done(url_for("projects.page", project_id=made.project_id, _anchor="money"))
