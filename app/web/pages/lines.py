"""Lines: the list, one line, and changing them."""

from flask import Blueprint, url_for

from app.queries.lines import line_page, lines_page
from app.services import lines
from app.web.db import db
from app.web.forms.lines import LineForm
from app.web.signin import actor
from app.web.views import View, again, attempt, done, show

pages = Blueprint("lines", __name__)


@pages.get("/lines")
def listing() -> View:
    """Show every line."""
    return show("pages/lines/listing.html", page=lines_page(db(), actor()))


@pages.get("/lines/new")
def new() -> View:
    """Ask for a new line."""
    return show("pages/lines/new.html", form=LineForm())


@pages.post("/lines/new")
def add() -> View:
    """Begin a line."""
    form = LineForm()
    made = attempt(form, lambda: lines.add_line(db(), actor(), form.given()))
    if made is None:
        return again("pages/lines/new.html", form=form)
    return done(url_for("lines.page", line_id=made.id))


@pages.get("/lines/<int:line_id>")
def page(line_id: int) -> View:
    """Show one line."""
    return show("pages/lines/page.html", page=line_page(db(), actor(), line_id))


@pages.get("/lines/<int:line_id>/edit")
def edit(line_id: int) -> View:
    """Ask what changes."""
    found = line_page(db(), actor(), line_id)
    return show("pages/lines/edit.html", page=found, form=LineForm(obj=found))


@pages.post("/lines/<int:line_id>/edit")
def change(line_id: int) -> View:
    """Change a line."""
    found = line_page(db(), actor(), line_id)
    form = LineForm()
    if attempt(form, lambda: lines.edit_line(db(), actor(), line_id, form.given(found))) is None:
        return again("pages/lines/edit.html", page=found, form=form)
    return done(url_for("lines.page", line_id=line_id))
