"""Hindcast: whether the windows kept their promise."""

from flask import Blueprint

from app.queries.hindcast import hindcast_page
from app.web.db import db
from app.web.signin import actor
from app.web.views import View, show

pages = Blueprint("hindcast", __name__)


@pages.get("/hindcast")
def page() -> View:
    """Show coverage, error and sharpness against the fixed-day rule."""
    return show("pages/hindcast/page.html", page=hindcast_page(db(), actor()))
