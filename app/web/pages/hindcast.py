"""Hindcast: whether the windows kept their promise."""

from flask import Blueprint, request

from app.queries.hindcast import hindcast_page
from app.web.db import db
from app.web.signin import actor
from app.web.views import View, show

pages = Blueprint("hindcast", __name__)


@pages.get("/hindcast")
def page() -> View:
    """Show coverage, error and sharpness against the fixed-day rule."""
    first = request.args.get("from", 0, type=int)
    return show("pages/hindcast/page.html", page=hindcast_page(db(), actor(), first))
