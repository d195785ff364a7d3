"""Rehoming: what can go, what went, and the water cards that go with it."""

from flask import Blueprint, request, url_for

from app.queries.rehomings import CSV_HEAD, fish_head, past, rehomings_page, rehomings_table
from app.queries.water_cards import water_card
from app.services import rehomings
from app.store.rehomings import Rehoming
from app.web.db import db
from app.web.forms.base import text
from app.web.forms.rehomings import GoneForm
from app.web.qr import qr
from app.web.sheets import as_csv
from app.web.signin import actor
from app.web.views import View, again, attempt, back, done, show

pages = Blueprint("rehomings", __name__)
BOTH = ("GET", "POST")


@pages.get("/rehomings")
def listing() -> View:
    """Show what is ready now, what comes next and what went."""
    first = request.args.get("from", 0, type=int)
    return show("pages/rehomings/listing.html", page=rehomings_page(db(), actor(), first))


@pages.get("/rehomings.csv")
def sheet() -> View:
    """Give what went as a file."""
    return as_csv("rehomings.csv", CSV_HEAD, rehomings_table(past(db(), actor())))


@pages.get("/rehomings/<int:rehoming_id>/card")
def card(rehoming_id: int) -> View:
    """Show the water card, ready to print."""
    found = water_card(db(), actor(), rehoming_id)
    return show("print/water_card.html", page=found, code=qr(found.text, "What this card says, as a code"))


@pages.route("/broodstock/<int:fish_id>/rehome", methods=BOTH)
def fish(fish_id: int) -> View:
    """Rehome one fish."""
    head, form = fish_head(db(), fish_id), GoneForm(on=actor().today)
    if request.method == "POST" and attempt(form, lambda: _let_go(fish_id, form)) is not None:
        return done(back(url_for("fish.page", fish_id=fish_id)))
    shown = again if request.method == "POST" else show
    return shown("pages/rehomings/fish.html", page=head, form=form)


def _let_go(fish_id: int, form: GoneForm) -> Rehoming:
    return rehomings.rehome_fish(
        db(),
        actor(),
        fish_id,
        on=form.on.data or actor().today,
        to_whom=text(form.to_whom),
        price=form.price.data,
        note=text(form.note),
    )
