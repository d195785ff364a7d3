"""Signs: logging what was seen on a dam."""

from flask import Blueprint, url_for

from app.queries.fish_forms import fish_asked
from app.services import signs
from app.store.signs import SignKind
from app.web.db import db
from app.web.forms.base import text
from app.web.forms.signs import SignForm
from app.web.signin import actor
from app.web.views import View, again, attempt, back, done, show

pages = Blueprint("signs", __name__)


@pages.get("/broodstock/<int:fish_id>/signs")
def new(fish_id: int) -> View:
    """Ask what was seen."""
    found = fish_asked(db(), actor(), fish_id)
    return show("pages/fish/sign.html", page=found, form=SignForm(seen_on=actor().today))


@pages.post("/broodstock/<int:fish_id>/signs")
def add(fish_id: int) -> View:
    """Log a sign."""
    form = SignForm(seen_on=actor().today)
    made = attempt(
        form,
        lambda: signs.log_sign(
            db(),
            actor(),
            fish_id,
            kind=SignKind(form.kind.data),
            seen_on=form.day(actor().today),
            note=text(form.note),
        ),
    )
    if made is None:
        return again("pages/fish/sign.html", page=fish_asked(db(), actor(), fish_id), form=form)
    return done(back(url_for("fish.page", fish_id=fish_id)))
