"""Rounds: today's walk past the tanks."""

from flask import Blueprint

from app.queries.tanks import tanks_page
from app.web.db import db
from app.web.signin import actor
from app.web.views import View, show

pages = Blueprint("rounds", __name__)


@pages.get("/")
def today() -> View:
    """Show what each tank needs today, in walking order."""
    return show("pages/rounds/today.html", page=tanks_page(db(), actor()))
