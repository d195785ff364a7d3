"""A member's own morning messages: where they go and when, a test, and how the last ones went."""

from collections.abc import Callable
from typing import cast

from flask import Blueprint, abort, current_app, g, redirect, url_for

from app.notify.letter import trial
from app.notify.outbox import Outbox
from app.notify.outcome import Fate, Outcome
from app.queries.messages import messages_page
from app.services import channels
from app.store.channels import Channel
from app.web.db import db
from app.web.forms.base import ActForm, text
from app.web.forms.messages import ChannelForm, TimeForm
from app.web.messages import Message, say
from app.web.signin import actor
from app.web.throttle import Throttle
from app.web.views import View, again, attempt, done, refused, show

pages = Blueprint("messages", __name__)
TEMPLATE = "pages/messages/page.html"
TESTS, TEST_SECONDS = 5, 600
SAID = {
    Fate.SENT: "Sent. Look whether it arrived.",
    Fate.RETRY: "It did not go out.",
    Fate.FAILED: "It did not go out.",
    Fate.UNKNOWN: "It may or may not have gone out.",
}


def outbox() -> Outbox:
    """Return the server's outbox."""
    return cast("Outbox", current_app.extensions["outbox"])


@pages.get("/settings/messages")
def page() -> View:
    """Show the member's addresses."""
    return show(TEMPLATE, page=messages_page(db(), actor()), form=ChannelForm(), mail=bool(outbox().mail))


@pages.post("/settings/messages")
def add() -> View:
    """Keep an address."""
    form = ChannelForm()
    made = attempt(
        form,
        lambda: channels.add_channel(db(), actor(), outbox(), address=text(form.address), send_at=form.clock),
    )
    if made is None:
        return again(TEMPLATE, page=messages_page(db(), actor()), form=form, mail=bool(outbox().mail))
    return done(url_for("messages.page"), "Kept. Send a test to see that it arrives.", undo=False)


@pages.post("/settings/messages/<int:channel_id>/time")
def change(channel_id: int) -> View:
    """Choose when it goes."""
    channels.own(db(), actor(), channel_id)
    form = TimeForm()
    if attempt(form, lambda: channels.choose_time(db(), actor(), channel_id, form.clock)) is None:
        return refused(url_for("messages.page"), form)
    return done(url_for("messages.page"), "The time is changed.", undo=False)


@pages.post("/settings/messages/<int:channel_id>/pause")
def pause(channel_id: int) -> View:
    """Send nothing there for now."""
    return _plainly(lambda: channels.pause(db(), actor(), channel_id), "Paused.")


@pages.post("/settings/messages/<int:channel_id>/resume")
def resume(channel_id: int) -> View:
    """Send there again."""
    return _plainly(lambda: channels.resume(db(), actor(), channel_id), "It goes out again.")


@pages.post("/settings/messages/<int:channel_id>/remove")
def remove(channel_id: int) -> View:
    """Forget an address."""
    return _plainly(lambda: channels.remove(db(), actor(), channel_id), "The address is removed.")


def _plainly(act: Callable[[], Channel], words: str) -> View:
    form = ActForm()
    if attempt(form, act) is None:
        return refused(url_for("messages.page"), form)
    return done(url_for("messages.page"), words, undo=False)


@pages.post("/settings/messages/<int:channel_id>/test")
def test(channel_id: int) -> View:
    """Send a test, and say how it went; nothing of the database is held meanwhile."""
    form = ActForm()
    channel = attempt(form, lambda: channels.own(db(), actor(), channel_id))
    if channel is None:
        return refused(url_for("messages.page"), form)
    if not _throttle().allows(str(actor().user_id), actor().now):
        abort(429, "That were many tests. Wait ten minutes, then try again.")
    outcome = _sent(channel)
    channels.tried(db(), actor(), channel_id, outcome)
    db().commit()
    kind = "done" if outcome.fate is Fate.SENT else "refused"
    say(Message(kind, f"{SAID[outcome.fate]} {outcome.words}".strip()))
    return redirect(url_for("messages.page"), code=303)


def _throttle() -> Throttle:
    """Return the count of tests, by member."""
    fresh = Throttle(limit=TESTS, seconds=TEST_SECONDS)
    return cast("Throttle", current_app.extensions.setdefault("message tests", fresh))


def _sent(channel: Channel) -> Outcome:
    address = str(current_app.config["ADDRESS"])
    name = f"broodwater-test-{channel.id}-{actor().now:%Y%m%d%H%M%S}"
    message = trial(g.fishroom.name, f"{channel.send_at:%H:%M}", name, address)
    return outbox().send(channel.address_cipher, message, actor().now)
