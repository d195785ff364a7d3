"""What lets pages outlast the network: the worker, its page, and the ticket to send what waited."""

from pathlib import Path

from flask import Blueprint, Response, current_app, jsonify

from app.web.security import csrf_token
from app.web.views import View, show
from app.web.waiting import member

pages = Blueprint("offline", __name__)


@pages.get("/worker.js")
def worker() -> View:
    """Give the worker with the place of this version's files; from here it may look after every page."""
    words = (Path(str(current_app.static_folder)) / "js" / "worker.js").read_text(encoding="utf-8")
    head = f'const STATIC = "{current_app.static_url_path}/";\n'
    return Response(head + words, content_type="text/javascript; charset=utf-8")


@pages.get("/offline")
def page() -> View:
    """Say that there is no network, for pages that were not kept."""
    return show("pages/offline/page.html")


@pages.get("/waiting")
def ticket() -> View:
    """Tell a browser that kept forms who is signed in, with a fresh token to send them."""
    return jsonify(member=member(), token=csrf_token())
