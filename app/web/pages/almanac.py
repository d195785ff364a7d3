"""Almanac: what lies ahead, by date and by tank."""

from flask import Blueprint, request

from app.queries.almanac import almanac_page, lanes_page
from app.web.addresses import address
from app.web.db import db
from app.web.signin import actor
from app.web.views import View, show

pages = Blueprint("almanac", __name__)
MOST_WEEKS = 52
SEASON, YEAR = 45, 365


@pages.get("/almanac")
def ahead() -> View:
    """Show the windows and dates ahead, soonest first; a season unless a year is asked for."""
    days = YEAR if request.args.get("span") == "year" else SEASON
    return show("pages/almanac/ahead.html", page=almanac_page(db(), actor(), days), year=days == YEAR)


@pages.get("/almanac/tanks")
def lanes() -> View:
    """Show the same as one lane a tank."""
    weeks = min(max(request.args.get("weeks", 12, type=int), 4), MOST_WEEKS)
    return show("pages/almanac/lanes.html", page=lanes_page(db(), actor(), weeks, address))
