"""What was done, by whom, and taking it back."""

from flask import Blueprint, request, url_for

from app.queries.history import history_page
from app.services.undo import undo as take_back
from app.web.db import db
from app.web.forms.base import ActForm
from app.web.signin import actor
from app.web.views import View, attempt, back, done, refused, show

pages = Blueprint("history", __name__)


@pages.get("/history")
def listing() -> View:
    """Show some acts, the latest unless others are asked for."""
    first = request.args.get("from", 0, type=int)
    return show("pages/history/listing.html", page=history_page(db(), actor(), first), form=ActForm())


@pages.post("/history/<int:act_id>/undo")
def undo(act_id: int) -> View:
    """Take one act back, or say why not."""
    form = ActForm()
    act = attempt(form, lambda: take_back(db(), actor(), act_id))
    home = back(url_for("history.listing"))
    if act is None:
        return refused(home, form)
    return done(home, f"Taken back: {act.words}", undo=False)
