"""The calendar feed: a private address that any calendar can subscribe to."""

from flask import Blueprint, Response, abort, g, url_for

from app.notify.calendar import Dated, calendar_text
from app.queries.almanac import almanac_page
from app.queries.feeds import calendar_page
from app.services import feeds
from app.store.fishrooms import Fishroom
from app.store.session import enter
from app.web.addresses import address
from app.web.db import db
from app.web.forms.base import ActForm
from app.web.signin import actor, now
from app.web.views import View, attempt, done, refused, show

pages = Blueprint("calendar", __name__)


@pages.get("/calendar")
def page() -> View:
    """Show the member's addresses."""
    return show("pages/calendar/page.html", page=calendar_page(db(), actor()), token="")


@pages.post("/calendar")
def make() -> View:
    """Make an address and show it, once."""
    form = ActForm()
    token = attempt(form, lambda: feeds.make_feed(db(), actor()))
    if token is None:
        return refused(url_for("calendar.page"), form)
    return show("pages/calendar/page.html", page=calendar_page(db(), actor()), token=token)


@pages.post("/calendar/<int:feed_id>/revoke")
def revoke(feed_id: int) -> View:
    """Make an address useless."""
    form = ActForm()
    if attempt(form, lambda: feeds.revoke_feed(db(), actor(), feed_id)) is None:
        return refused(url_for("calendar.page"), form)
    return done(url_for("calendar.page"), "The address no longer works.", undo=False)


@pages.get("/calendar/<token>.ics")
def feed(token: str) -> Response:
    """Answer a calendar that subscribed."""
    reader = feeds.actor_of_feed(db(), token, now())
    if reader is None:
        abort(404)
    enter(db(), reader.fishroom_id)
    g.actor = reader
    found = almanac_page(db(), reader)
    name = db().get_one(Fishroom, reader.fishroom_id).name
    events = [
        Dated(
            e.uid,
            e.window.start,
            e.window.end,
            e.title,
            e.words,
            address(e.subject.kind, e.subject.id, full=True),
        )
        for e in found.entries
    ]
    answer = Response(calendar_text(f"{name}: almanac", events, reader.now), mimetype="text/calendar")
    answer.add_etag()
    return answer
