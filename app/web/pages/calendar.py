"""The calendar feed: a private address that any calendar can subscribe to."""

from typing import cast

from flask import Blueprint, Response, abort, current_app, g, request, url_for

from app.notify.calendar import calendar_text
from app.queries.almanac import almanac_page
from app.queries.feeds import calendar_page, dated, news, stamp, told_events
from app.services import feeds
from app.services.feeds import FeedReader
from app.store.session import enter
from app.web.addresses import address
from app.web.db import Sessions, db
from app.web.forms.base import ActForm, text
from app.web.forms.calendar import FeedForm
from app.web.kept import Kept
from app.web.signin import actor, now
from app.web.views import View, again, attempt, done, refused, show

pages = Blueprint("calendar", __name__)
TEMPLATE = "pages/calendar/page.html"


@pages.get("/calendar")
def page() -> View:
    """Show the member's addresses."""
    return show(TEMPLATE, page=calendar_page(db(), actor()), token="", form=FeedForm())


@pages.post("/calendar")
def make() -> View:
    """Make an address and show it, once."""
    form = FeedForm()
    token = attempt(
        form,
        lambda: feeds.make_feed(
            db(),
            actor(),
            label=text(form.label),
            kinds=form.kinds.data or (),
            alarm_hour=form.alarm_hour.data,
        ),
    )
    if token is None:
        return again(TEMPLATE, page=calendar_page(db(), actor()), token="", form=form)
    return show(TEMPLATE, page=calendar_page(db(), actor()), token=token, form=form)


@pages.post("/calendar/<int:feed_id>/revoke")
def revoke(feed_id: int) -> View:
    """Make an address useless."""
    form = ActForm()
    if attempt(form, lambda: feeds.revoke_feed(db(), actor(), feed_id)) is None:
        return refused(url_for("calendar.page"), form)
    return done(url_for("calendar.page"), "The address no longer works.", undo=False)


@pages.get("/calendar/<token>.ics")
def feed(token: str) -> Response:
    """Answer a calendar that subscribed; one that has the newest is told so in a line."""
    reader = feeds.reader_of_feed(db(), token, now())
    if reader is None:
        abort(404)
    enter(db(), reader.actor.fishroom_id)
    g.actor = reader.actor
    kept = cast("Kept", current_app.extensions.setdefault("calendars", Kept()))
    body = kept.get(reader.feed_id, stamp(db(), reader.actor), lambda: _written(reader))
    answer = Response(body, mimetype="text/calendar")
    answer.add_etag()
    answer.make_conditional(request)
    return answer


def _written(reader: FeedReader) -> bytes:
    """Write the calendar; what calendars were not told before is kept first, in a session of its own."""
    entries = almanac_page(db(), reader.actor).entries
    told = told_events(db())
    if news(told, entries, reader.actor.today):
        db().close()  # its transaction is over before another one writes
        with cast("Sessions", current_app.extensions["sessions"]).writing() as writing:
            enter(writing, reader.actor.fishroom_id)
            told = feeds.remember_told(writing, reader.actor, entries)
            writing.commit()
    events = dated(told, entries, reader.actor, reader.kinds, lambda kind, row: address(kind, row, full=True))
    return calendar_text(f"{reader.fishroom}: almanac", reader.realm, events, reader.alarm_hour)
