"""Fry care: how often fry are fed and their water changed, by age, and setting it."""

from typing import Any

from flask import Blueprint, url_for

from app.core.quantities import show_share
from app.queries.fry_care import fry_care_page
from app.services import fishrooms, fry_care
from app.store.fishrooms import Fishroom
from app.store.waters import FryCare
from app.web.db import db
from app.web.forms.base import ActForm
from app.web.forms.care import BoxAndRoomForm, FryCareForm
from app.web.forms.choosing import counted
from app.web.signin import actor
from app.web.views import View, again, attempt, done, refused, show

pages = Blueprint("fry_care", __name__)
TEMPLATE = "pages/fry_care/page.html"


def _shown() -> dict[str, Any]:
    """Return the page with its two forms."""
    found = fry_care_page(db(), actor())
    form = FryCareForm()
    form.offer(found.choices)
    kept = {"box_days": found.box_days, "room": show_share(found.room_share)}
    return {"page": found, "form": form, "box": BoxAndRoomForm(data=kept)}


@pages.get("/fry-care")
def page() -> View:
    """Show the routine, line by line."""
    return show(TEMPLATE, **_shown())


@pages.post("/fry-care")
def choose() -> View:
    """Set one stage."""
    given = _shown()
    if attempt(given["form"], lambda: _choose(given["form"])) is None:
        return again(TEMPLATE, **given)
    return done(url_for("fry_care.page"))


@pages.post("/fry-care/box-and-room")
def mind() -> View:
    """Set how long a fry box holds, and how much room each fish is given."""
    given = _shown()
    if attempt(given["box"], lambda: _mind(given["box"])) is None:
        return again(TEMPLATE, **given)
    return done(url_for("fry_care.page"))


def _mind(form: BoxAndRoomForm) -> Fishroom:
    days, share = counted(form.box_days), form.room_share()
    return fishrooms.set_box_and_room(db(), actor(), box_days=days, room_share=share)


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
