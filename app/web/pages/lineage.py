"""Lineage: how each line stands, one fish's forebears, and its least related mates."""

from flask import Blueprint, redirect, request, url_for

from app.queries.lineage import DEPTH, fish_lineage, lineage_page
from app.web.db import db
from app.web.forms.choosing import row
from app.web.kin import linked
from app.web.signin import actor
from app.web.views import View, show

pages = Blueprint("lineage", __name__)


@pages.get("/lineage")
def page() -> View:
    """Show how each line stands, or go to the fish that was looked up."""
    wanted = request.args.get("fish_id", type=row)
    if wanted is not None:
        return redirect(url_for("lineage.fish", fish_id=wanted), code=303)
    return show("pages/lineage/page.html", page=lineage_page(db(), actor()))


@pages.get("/lineage/<int:fish_id>")
def fish(fish_id: int) -> View:
    """Show one fish's forebears and its possible mates."""
    depth = request.args.get("depth", DEPTH, type=int)
    found = fish_lineage(db(), actor(), fish_id, depth)
    return show("pages/lineage/fish.html", page=found, tree=linked(found.tree, "lineage.fish"))
