"""Targets: what the water should be for each line and tank, and setting it."""

from flask import Blueprint, request, url_for

from app.queries.targets import targets_page
from app.services import targets
from app.store.waters import WaterTarget
from app.web.db import db
from app.web.forms.base import ActForm
from app.web.forms.care import TargetForm
from app.web.signin import actor
from app.web.views import View, again, attempt, done, refused, show

pages = Blueprint("targets", __name__)
TEMPLATE = "pages/targets/page.html"


@pages.get("/waters/targets")
def page() -> View:
    """Show what is wanted of the water."""
    found, form = targets_page(db(), actor()), TargetForm(whom=request.args.get("for", ""))
    form.offer(found.choices)
    return show(TEMPLATE, page=found, form=form)


@pages.post("/waters/targets")
def choose() -> View:
    """Set a range."""
    found, form = targets_page(db(), actor()), TargetForm()
    form.offer(found.choices)
    if attempt(form, lambda: _choose(form)) is None:
        return again(TEMPLATE, page=found, form=form)
    return done(url_for("targets.page"))


def _choose(form: TargetForm) -> WaterTarget:
    whom, quantity, low, high = form.told()
    return targets.choose_target(db(), actor(), whom, quantity, low, high)


@pages.post("/waters/targets/<int:target_id>/remove")
def remove(target_id: int) -> View:
    """Let the usual range hold again."""
    form = ActForm()
    if attempt(form, lambda: targets.drop_target(db(), actor(), target_id)) is None:
        return refused(url_for("targets.page"), form)
    return done(url_for("targets.page"))
