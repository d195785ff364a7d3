"""Fry care: how often fry are fed and their water changed, by age, and setting it."""

from flask import Blueprint, url_for

from app.queries.fry_care import fry_care_page
from app.services import fry_care
from app.store.waters import FryCare
from app.web.db import db
from app.web.forms.base import ActForm
from app.web.forms.care import FryCareForm
from app.web.signin import actor
from app.web.views import View, again, attempt, done, refused, show

pages = Blueprint("fry_care", __name__)
TEMPLATE = "pages/fry_care/page.html"


def _form() -> FryCareForm:
    form = FryCareForm()
    form.offer(fry_care_page(db(), actor()).choices)
    return form


@pages.get("/fry-care")
def page() -> View:
    """Show the routine, line by line."""
    return show(TEMPLATE, page=fry_care_page(db(), actor()), form=_form())


@pages.post("/fry-care")
def choose() -> View:
    """Set one stage."""
    form = _form()
    if attempt(form, lambda: _choose(form)) is None:
        return again(TEMPLATE, page=fry_care_page(db(), actor()), form=form)
    return done(url_for("fry_care.page"))


def _choose(form: FryCareForm) -> FryCare:
    care, line_id = form.told()
    return fry_care.choose_care(db(), actor(), care, line_id)


@pages.post("/fry-care/<int:care_id>/remove")
def remove(care_id: int) -> View:
    """Let a stage be as usual again."""
    form = ActForm()
    if attempt(form, lambda: fry_care.drop_care(db(), actor(), care_id)) is None:
        return refused(url_for("fry_care.page"), form)
    return done(url_for("fry_care.page"))
