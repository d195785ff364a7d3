"""Almanac: what lies ahead, by date and by tank."""

from datetime import date

from flask import Blueprint, request

from app.queries.almanac import KINDS, almanac_page
from app.queries.almanac_month import month_page
from app.queries.lanes import lanes_page
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
    kind = request.args.get("kind", "")
    kind = kind if kind in KINDS else ""
    page = almanac_page(db(), actor(), days, kind)
    return show("pages/almanac/ahead.html", page=page, year=days == YEAR, kind=kind, kinds=KINDS)


@pages.get("/almanac/month")
def month() -> View:
    """Show a month as a sheet for the wall."""
    return show("pages/almanac/month.html", page=month_page(db(), actor(), _asked()))


def _asked() -> date:
    """Return the month asked for, as ``2026-06``; this month where it is none."""
    try:
        return date.fromisoformat(f"{request.args.get('month', '')}-01")
    except ValueError:
        return actor().today


@pages.get("/almanac/tanks")
def lanes() -> View:
    """Show the same as one lane a tank."""
    weeks = min(max(request.args.get("weeks", 12, type=int), 4), MOST_WEEKS)
    return show("pages/almanac/lanes.html", page=lanes_page(db(), actor(), weeks, address))
