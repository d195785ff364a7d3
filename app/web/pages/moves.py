"""Moving fish and batches to another section."""

from flask import Blueprint, request, url_for

from app.queries.moves import MovePage, meetings, move_page
from app.services import stays
from app.store.tanks import Section
from app.web.db import db
from app.web.forms.choosing import picked, row
from app.web.forms.moves import MoveForm
from app.web.signin import actor
from app.web.views import View, again, attempt, done, show

pages = Blueprint("moves", __name__)
TEMPLATE = "pages/moves/new.html"


@pages.get("/moves/new")
def new() -> View:
    """Ask who moves, and where to."""
    actor().must_log()
    form, found = _asked()
    return show(TEMPLATE, page=found, form=form, meets=())


@pages.post("/moves/new")
def add() -> View:
    """Move them; where dams would meet males, say so first and ask once more."""
    form, found = _asked()
    if form.looked.data != form.chosen and form.validate():
        form.looked.data = form.chosen
        meets = meetings(
            db(), actor(), picked(form.section_id) or 0, form.keys, form.on.data or actor().today
        )
        if meets:
            return show(TEMPLATE, page=found, form=form, meets=meets)
    made = attempt(form, lambda: _move(form))
    if made is None:
        return again(TEMPLATE, page=found, form=form, meets=())
    return done(url_for("tanks.page", tank_id=made.tank_id))


def _asked() -> tuple[MoveForm, MovePage]:
    """Return the form with what a link brought along, and who can be chosen."""
    given = request.args
    who = [f"{kind}-{number}" for kind in ("fish", "batch") for number in given.getlist(kind, type=row)]
    form = MoveForm(who=who, section_id=given.get("section", type=row), on=actor().today)
    found = move_page(db(), actor(), given.get("tank", type=row))
    form.offer(found)
    return form, found


def _move(form: MoveForm) -> Section:
    return stays.move(
        db(),
        actor(),
        section_id=picked(form.section_id) or 0,
        on=form.on.data or actor().today,
        fish_ids=form.ids("fish"),
        batch_ids=form.ids("batch"),
    )
