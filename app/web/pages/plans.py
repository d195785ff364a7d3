"""Plans and their steps: one plan, one step about to be done, what a change took, the end."""

from flask import Blueprint, request, url_for

from app.queries.plan_page import plan_page
from app.queries.step_page import RedosePage, StepPage, redose_page, step_page
from app.services import plan_steps, plans, quarantine
from app.services.plan_steps import Done
from app.web.db import db
from app.web.forms.base import ActForm, text
from app.web.forms.choosing import counted, picked
from app.web.forms.courses import EndForm, StepForm, WaitForm, shown_amount
from app.web.signin import actor
from app.web.views import View, again, attempt, back, done, refused, show

pages = Blueprint("plans", __name__)
BOTH = ("GET", "POST")


@pages.get("/plans/<int:plan_id>")
def page(plan_id: int) -> View:
    """Show one plan."""
    found = plan_page(db(), actor(), plan_id)
    return show("pages/plans/page.html", page=found, end=EndForm(on=actor().today))


@pages.route("/plans/steps/<int:step_id>", methods=BOTH)
def step(step_id: int) -> View:
    """Show what a step asks for, and log that it was done."""
    found = step_page(db(), actor(), step_id)
    form = _form(found.amount, found.plan.source_id)
    form.offer(found.sources)
    home = back(_home(found))
    if request.method == "POST":
        made = attempt(
            form, lambda: plan_steps.do_step(db(), actor(), step_id, _done(form, found, found.amount))
        )
        if made is not None:
            return done(home)
        return again("pages/plans/step.html", page=found, form=form, home=home, wait=WaitForm(days=7))
    return show("pages/plans/step.html", page=found, form=form, home=home, wait=WaitForm(days=7))


def _form(amount: float | None, source_id: int | None) -> StepForm:
    shown = shown_amount(amount) if amount is not None else ""
    return StepForm(on=actor().today, amount=shown, source_id=source_id)


def _done(form: StepForm, found: StepPage | RedosePage, exact: float | None) -> Done:
    on = form.on.data or actor().today
    # On an earlier day the ledger's amount was another one: what the field shows counts only for today.
    amount = form.poured(found.plan.measure, exact if on == actor().today else None)
    return Done(on, amount, picked(form.source_id), text(form.note))


def _home(found: StepPage | RedosePage) -> str:
    if found.plan.case_id is not None:
        return url_for("cases.page", case_id=found.plan.case_id)
    return url_for("plans.page", plan_id=found.plan.id)


@pages.post("/plans/steps/<int:step_id>/skip")
def skip(step_id: int) -> View:
    """Leave a step out."""
    found, form = step_page(db(), actor(), step_id), ActForm()
    made = attempt(form, lambda: plans.skip(db(), actor(), step_id))
    home = back(_home(found))
    return done(home) if made is not None else refused(home, form)


@pages.route("/plans/<int:plan_id>/put-back", methods=BOTH)
def put_back(plan_id: int) -> View:
    """Show what changes took of a course, and log that it was put back."""
    found = redose_page(db(), actor(), plan_id)
    form = _form(found.amount, None)
    home = back(_home(found))
    if request.method == "POST":
        made = attempt(
            form, lambda: plan_steps.put_back(db(), actor(), plan_id, _done(form, found, found.amount))
        )
        if made is not None:
            return done(home)
        return again("pages/plans/put_back.html", page=found, form=form, home=home)
    return show("pages/plans/put_back.html", page=found, form=form, home=home)


@pages.post("/plans/<int:plan_id>/move-on")
def move_on(plan_id: int) -> View:
    """End a quarantine: all is well."""
    plan_page(db(), actor(), plan_id)
    form, home = ActForm(), back(url_for("plans.page", plan_id=plan_id))
    made = attempt(form, lambda: quarantine.move_on(db(), actor(), plan_id))
    return done(home) if made is not None else refused(home, form)


@pages.post("/plans/<int:plan_id>/wait")
def wait(plan_id: int) -> View:
    """Let a quarantine last longer."""
    plan_page(db(), actor(), plan_id)
    form, home = WaitForm(), back(url_for("plans.page", plan_id=plan_id))
    made = attempt(form, lambda: quarantine.wait_longer(db(), actor(), plan_id, counted(form.days)))
    return done(home) if made is not None else refused(home, form)


@pages.post("/plans/<int:plan_id>/end")
def end(plan_id: int) -> View:
    """End a plan."""
    found, form = plan_page(db(), actor(), plan_id), EndForm(on=actor().today)
    made = attempt(
        form,
        lambda: plans.end(
            db(), actor(), plan_id, on=form.on.data or actor().today, outcome=text(form.outcome)
        ),
    )
    own = url_for("plans.page", plan_id=plan_id)
    home = back(url_for("cases.page", case_id=found.case[0]) if found.case is not None else own)
    return done(home) if made is not None else refused(home, form)
