"""People waiting for fish: the list, one wish, and promising; their names are not for readers."""

from flask import Blueprint, request, url_for

from app.queries.choices import lines
from app.queries.outlook import batch_outlooks
from app.queries.wants import CSV_HEAD, asked, waiting_list, want_page, wants_table
from app.services import wants
from app.web.db import db
from app.web.forms.base import ActForm
from app.web.forms.choosing import picked, row
from app.web.forms.wants import PromiseForm, WantForm
from app.web.sheets import as_csv
from app.web.signin import actor
from app.web.views import View, again, attempt, done, refused, show

pages = Blueprint("wants", __name__)
BOTH = ("GET", "POST")
FORM, PAGE = "pages/wants/form.html", "pages/wants/page.html"


@pages.get("/rehomings/waiting.csv")
def sheet() -> View:
    """Give who waits as a file."""
    actor().must_log()
    waiting = waiting_list(db(), actor(), batch_outlooks(db(), actor()))
    return as_csv("waiting.csv", CSV_HEAD, wants_table(waiting))


@pages.route("/rehomings/waiting/new", methods=BOTH)
def new() -> View:
    """Put someone on the list."""
    actor().must_log()
    line = request.args.get("line", type=row)
    form = WantForm(since=actor().today, line_id=line).offer(lines(db()))
    if request.method == "POST":
        made = attempt(form, lambda: wants.add_want(db(), actor(), form.told(actor())))
        return done(url_for("wants.page", want_id=made.id)) if made else again(FORM, form=form, want_id=None)
    return show(FORM, form=form, want_id=None)


@pages.get("/rehomings/waiting/<int:want_id>")
def page(want_id: int) -> View:
    """Show what someone waits for and what could serve them."""
    actor().must_log()
    found = want_page(db(), actor(), want_id)
    form = PromiseForm(batch_id=found.waiting.batch_id).offer(found.offers)
    return show(PAGE, page=found, form=form)


@pages.route("/rehomings/waiting/<int:want_id>/change", methods=BOTH)
def change(want_id: int) -> View:
    """Correct what someone wants."""
    want = asked(db(), actor(), want_id)
    form = WantForm(obj=want, since=want.since_on).offer(lines(db()))
    if request.method == "POST":
        if attempt(form, lambda: wants.change_want(db(), actor(), want_id, form.told(actor()))) is None:
            return again(FORM, form=form, want_id=want_id)
        return done(url_for("wants.page", want_id=want_id))
    return show(FORM, form=form, want_id=want_id)


@pages.post("/rehomings/waiting/<int:want_id>/promise")
def promise(want_id: int) -> View:
    """Promise fish of a batch."""
    form = PromiseForm()
    if attempt(form, lambda: wants.promise(db(), actor(), want_id, picked(form.batch_id))) is None:
        found = want_page(db(), actor(), want_id)
        return again(PAGE, page=found, form=form.offer(found.offers))
    return done(url_for("wants.page", want_id=want_id))


@pages.post("/rehomings/waiting/<int:want_id>/withdraw")
def withdraw(want_id: int) -> View:
    """Take someone off the list."""
    form = ActForm()
    if attempt(form, lambda: wants.withdraw(db(), actor(), want_id)) is None:
        return refused(url_for("wants.page", want_id=want_id), form)
    return done(url_for("rehomings.listing", _anchor="waiting"))
