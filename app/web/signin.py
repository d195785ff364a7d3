"""Who is asking: signing in and out, and the actor of each request."""

from datetime import UTC, datetime, timedelta
from typing import cast

from flask import Flask, abort, current_app, g, redirect, request, session, url_for
from sqlalchemy import select
from werkzeug.wrappers import Response as WerkzeugResponse

from app.services.accounts import password_mark
from app.store.actor import Actor
from app.store.fishrooms import Fishroom
from app.store.session import enter
from app.store.users import Membership, User
from app.web.db import SAFE, db
from app.web.throttle import Throttle

OPEN = frozenset(
    {
        "static",
        "signin.page",
        "signin.enter",
        "signin.link",
        "health.healthz",
        "offline.worker",
        "offline.page",
        "calendar.feed",
        "api.store",
        "api.openapi",
    }
)
OWN_AFFAIRS = frozenset(
    {
        "signin.out",
        "signin.change",
        "theme.choose",
        "rounds.shape",
        "calendar.make",
        "calendar.revoke",
        "messages.add",
        "messages.change",
        "messages.pause",
        "messages.resume",
        "messages.remove",
        "messages.test",
        "settings.change_password",
    }
)
"""What even a reader may send: it changes nothing of the fishroom."""


def now() -> datetime:
    """Return this request's moment; the demo may stand on a chosen day."""
    moment = datetime.now(UTC)  # noqa: TID251 - the edge where the clock is read
    return moment + cast("timedelta", current_app.config["CLOCK_SHIFT"])


def install(app: Flask) -> None:
    """Ask for a signed-in member before every page that is not open."""
    app.extensions["attempts"] = Throttle(limit=10, seconds=300)
    app.extensions["knocks"] = Throttle(limit=60, seconds=300)
    app.before_request(_require)


def may_try(account: str) -> bool:
    """Note an attempt at a password: ten at one account, and sixty at any, from one address."""
    place, knocks = request.remote_addr or "", cast("Throttle", current_app.extensions["knocks"])
    attempts = cast("Throttle", current_app.extensions["attempts"])
    return knocks.allows(place, now()) and attempts.allows(f"{place} {account}", now())


def _require() -> WerkzeugResponse | None:
    if request.endpoint is None or request.endpoint in OPEN:
        return None
    if _member():
        if request.method not in SAFE and request.endpoint not in OWN_AFFAIRS:
            actor().must_log()
        return None
    if request.method != "GET":
        abort(403, "You were signed out. Sign in and send it again; what you typed is still in the form.")
    return redirect(url_for("signin.page", next=request.full_path.rstrip("?")), code=303)


def _member() -> bool:
    """Load the actor from the session; say whether there is one."""
    user_id, room_id = session.get("user_id"), session.get("fishroom_id")
    if user_id is None:
        return False
    statement = (
        select(Membership.role, Fishroom, User.email, User.password_hash)
        .join(Fishroom, Fishroom.id == Membership.fishroom_id)
        .join(User, User.id == Membership.user_id)
        .where(Membership.user_id == user_id, Membership.fishroom_id == room_id)
    )
    found = db().execute(statement).one_or_none()
    if found is None or session.get("password") != password_mark(found.password_hash):
        session.clear()
        return False
    role, room, g.email, _ = found
    g.fishroom = room
    g.actor = Actor.of(room, role, now(), user_id)
    enter(db(), room.id)
    return True


def actor() -> Actor:
    """Return this request's actor."""
    return cast("Actor", g.actor)


def remember(user_id: int, fishroom_id: int) -> None:
    """Start a fresh session for a member; it lasts as long as the password stays the same."""
    session.clear()
    session.permanent = True
    session["user_id"], session["fishroom_id"] = user_id, fishroom_id
    session["password"] = password_mark(db().get_one(User, user_id).password_hash)
