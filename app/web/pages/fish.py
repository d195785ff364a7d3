"""Broodstock: the list, one fish, adding and correcting fish, moving them, and those that leave."""

from datetime import date

from flask import Blueprint, request, url_for

from app.queries.fish import CSV_HEAD, Filter, FishPageList, fish_list, fish_table
from app.queries.fish_forms import Arriving, arriving, fish_asked
from app.queries.fish_page import fish_page
from app.services import fish, stays
from app.services.fish_edits import edit_fish
from app.store.fish import Departure, Fish, Origin, Sex
from app.store.signs import SignKind
from app.web.db import db
from app.web.forms.base import text
from app.web.forms.choosing import picked, row
from app.web.forms.fish import ArrivalForm, FishForm, LeftForm, MoveForm
from app.web.forms.signs import SignForm
from app.web.kin import linked
from app.web.sheets import as_csv
from app.web.signin import actor
from app.web.views import View, again, attempt, done, show

pages = Blueprint("fish", __name__)


@pages.get("/broodstock")
def listing() -> View:
    """Show the broodstock by sex, line, and whether it is here."""
    return show("pages/fish/listing.html", page=_listed())


@pages.get("/broodstock.csv")
def sheet() -> View:
    """Give the same list as a file."""
    return as_csv("broodstock.csv", CSV_HEAD, fish_table(_listed().fish))


def _listed() -> FishPageList:
    sex, state = request.args.get("sex", ""), request.args.get("state", "here")
    return fish_list(
        db(),
        actor(),
        Filter(
            sex if sex in set(Sex) else "",
            request.args.get("line", type=row),
            state if state in {"left", "all"} else "here",
        ),
    )


@pages.get("/broodstock/new")
def new() -> View:
    """Ask about fish that came; a link may bring along what is the same as last time."""
    given = request.args.get
    form = ArrivalForm(
        line_id=given("line", type=row),
        section_id=given("section", type=row),
        source=given("source", ""),
        origin=given("origin", Origin.BOUGHT.value),
        arrived_on=given("on", actor().today, type=date.fromisoformat),
    )
    return show("pages/fish/new.html", page=_offered(form), form=form)


@pages.post("/broodstock/new")
def add() -> View:
    """Add fish that came."""
    form = ArrivalForm(arrived_on=actor().today)
    page = _offered(form)
    made = attempt(form, lambda: fish.acquire(db(), actor(), form.given(actor().today)))
    if made is None:
        return again("pages/fish/new.html", page=page, form=form)
    return done(_onward(form, made))


def _offered(form: ArrivalForm) -> Arriving:
    page = arriving(db(), actor())
    form.offer(page)
    return page


def _onward(form: ArrivalForm, made: list[Fish]) -> str:
    """Return where to go after fish were added: more of them, their line, or the one fish."""
    first = made[0]
    if form.more.data:
        return url_for(
            "fish.new",
            line=first.line_id,
            section=picked(form.section_id),
            source=first.source,
            origin=first.origin.value,
            on=first.arrived_on.isoformat(),
        )
    if form.acclimate.data:
        return url_for("acclimation.plan", fish_id=first.id)
    if len(made) > 1:
        return url_for("fish.listing", line=first.line_id)
    return url_for("fish.page", fish_id=first.id)


@pages.get("/broodstock/<int:fish_id>")
def page(fish_id: int) -> View:
    """Show one fish."""
    found = fish_page(db(), actor(), fish_id)
    return show(
        "pages/fish/page.html",
        page=found,
        tree=linked(found.tree, "fish.page"),
        form=SignForm(seen_on=actor().today),
        kinds=tuple(kind.value for kind in SignKind),
    )


@pages.get("/broodstock/<int:fish_id>/edit")
def edit(fish_id: int) -> View:
    """Ask what is to be corrected."""
    found = fish_asked(db(), actor(), fish_id)
    form = FishForm(obj=found)
    form.offer(found)
    return show("pages/fish/edit.html", page=found, form=form)


@pages.post("/broodstock/<int:fish_id>/edit")
def change(fish_id: int) -> View:
    """Correct a fish."""
    found = fish_asked(db(), actor(), fish_id)
    form = FishForm()
    form.offer(found)
    if attempt(form, lambda: edit_fish(db(), actor(), fish_id, form.given(found))) is None:
        return again("pages/fish/edit.html", page=found, form=form)
    return done(url_for("fish.page", fish_id=fish_id))


@pages.get("/broodstock/<int:fish_id>/move")
def moving(fish_id: int) -> View:
    """Ask where a fish goes."""
    found = fish_asked(db(), actor(), fish_id)
    form = MoveForm(on=actor().today)
    form.offer(found)
    return show("pages/fish/move.html", page=found, form=form)


@pages.post("/broodstock/<int:fish_id>/move")
def move(fish_id: int) -> View:
    """Move a fish."""
    found = fish_asked(db(), actor(), fish_id)
    form = MoveForm(on=actor().today)
    form.offer(found)
    made = attempt(form, lambda: _move(fish_id, form))
    if made is None:
        return again("pages/fish/move.html", page=found, form=form)
    return done(url_for("fish.page", fish_id=fish_id))


def _move(fish_id: int, form: MoveForm) -> object:
    section_id, on = picked(form.section_id) or 0, form.on.data or actor().today
    return stays.move(db(), actor(), section_id=section_id, on=on, fish_ids=[fish_id])


@pages.get("/broodstock/<int:fish_id>/left")
def leaving(fish_id: int) -> View:
    """Ask what happened to a fish."""
    found = fish_asked(db(), actor(), fish_id)
    return show("pages/fish/left.html", page=found, form=LeftForm(on=actor().today))


@pages.post("/broodstock/<int:fish_id>/left")
def leave(fish_id: int) -> View:
    """Log that a fish died or was lost."""
    form = LeftForm(on=actor().today)
    made = attempt(
        form,
        lambda: fish.leave(
            db(),
            actor(),
            fish_id,
            on=form.on.data or actor().today,
            departure=Departure(form.departure.data),
            note=text(form.note),
        ),
    )
    if made is None:
        return again("pages/fish/left.html", page=fish_asked(db(), actor(), fish_id), form=form)
    return done(url_for("fish.page", fish_id=fish_id))
