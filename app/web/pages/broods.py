"""Broods: the list, one brood, and logging a drop."""

from flask import Blueprint, request, url_for

from app.queries.brood_page import brood_page
from app.queries.broods import CSV_HEAD, broods_page, broods_table, drop_page
from app.services import broods, carryings
from app.services.broods import Movers
from app.store.broods import Brood
from app.store.carryings import Outcome
from app.web.db import db
from app.web.forms.base import text
from app.web.forms.broods import DropFields, DropForm, SettleForm
from app.web.forms.choosing import counted, picked, row
from app.web.sheets import as_csv
from app.web.signin import actor
from app.web.views import View, again, attempt, back, done, refused, show

pages = Blueprint("broods", __name__)


@pages.get("/broods")
def listing() -> View:
    """Show the broods of every line or one, open, closed or all."""
    first = request.args.get("from", 0, type=int)
    return show("pages/broods/listing.html", page=broods_page(db(), actor(), *_filter(), first))


@pages.get("/broods.csv")
def sheet() -> View:
    """Give the same list as a file."""
    return as_csv("broods.csv", CSV_HEAD, broods_table(db(), actor(), *_filter()))


def _filter() -> tuple[int | None, str]:
    return request.args.get("line", type=row), request.args.get("state", "all")


@pages.get("/broods/<int:brood_id>")
def page(brood_id: int) -> View:
    """Show one brood."""
    return show("pages/broods/page.html", page=brood_page(db(), actor(), brood_id))


@pages.get("/broodstock/<int:dam_id>/drop")
def drop(dam_id: int) -> View:
    """Ask about a drop, with everything but the count filled in."""
    found = drop_page(db(), actor(), dam_id)
    form = DropForm(dropped_from=actor().today, section_id=found.section_id)
    form.offer(found)
    return show("pages/broods/drop.html", page=found, form=form)


@pages.post("/broodstock/<int:dam_id>/drop")
def log_drop(dam_id: int) -> View:
    """Log a drop."""
    found = drop_page(db(), actor(), dam_id)
    form = DropForm(dropped_from=actor().today, section_id=found.section_id)
    form.offer(found)
    made = attempt(form, lambda: _log(dam_id, form))
    if made is None:
        return again("pages/broods/drop.html", page=found, form=form)
    return done(back(url_for("broods.page", brood_id=made.id)))


def _log(dam_id: int, form: DropForm) -> Brood:
    return broods.log_drop(
        db(),
        actor(),
        dam_id=dam_id,
        dropped_from=form.dropped_from.data or actor().today,
        dropped_to=form.dropped_to.data,
        live=counted(form.live),
        dead=counted(form.dead),
        early=counted(form.early),
        section_id=picked(form.section_id),
        parents_moved_to=picked(form.parents_moved_to),
        movers=Movers(form.movers.data or Movers.ALL),
        note=text(form.note),
        sooner=bool(form.sooner.data),
    )


@pages.get("/broods/<int:brood_id>/edit")
def edit(brood_id: int) -> View:
    """Ask what was wrong."""
    found = brood_page(db(), actor(), brood_id)
    form = DropFields(obj=found)
    return show("pages/broods/edit.html", page=found, form=form)


@pages.post("/broods/<int:brood_id>/edit")
def change(brood_id: int) -> View:
    """Correct a drop."""
    form = DropFields()
    made = attempt(form, lambda: _correct(brood_id, form))
    if made is None:
        return again("pages/broods/edit.html", page=brood_page(db(), actor(), brood_id), form=form)
    return done(url_for("broods.page", brood_id=brood_id))


def _correct(brood_id: int, form: DropFields) -> Brood:
    return broods.correct_drop(
        db(),
        actor(),
        brood_id,
        dropped_from=form.dropped_from.data or actor().today,
        dropped_to=form.dropped_to.data,
        live=counted(form.live),
        dead=counted(form.dead),
        early=counted(form.early),
        note=text(form.note),
        sooner=bool(form.sooner.data),
    )


@pages.post("/broodstock/<int:dam_id>/carrying")
def settle(dam_id: int) -> View:
    """Answer an overdue forecast: not carrying, or the drop was missed or eaten."""
    form = SettleForm()
    home = back(url_for("fish.page", fish_id=dam_id))
    made = attempt(form, lambda: carryings.settle(db(), actor(), dam_id, Outcome(str(form.outcome.data))))
    return refused(home, form) if made is None else done(home)
