"""Forms that may wait in a browser without network: what marks them, and how each is answered once."""

from dataclasses import dataclass

from flask import Flask, Response, g, jsonify, redirect, request
from werkzeug.wrappers import Response as AnyResponse

from app.services import sent_once
from app.store.channels import SentOnce
from app.store.journal import Act
from app.web.db import db
from app.web.messages import Message, say
from app.web.signin import actor, now

FIELD = "once"
"""The hidden field that holds a form's key; scripts fill it in."""
HEADER, NOW, LATER = "Broodwater-Waits", "now", "later"
"""How a script asks for its answer: it goes on to a page now, or tells of a form that had waited."""
MEMBER = "Broodwater-Member"


class Repeated(Exception):
    """The same form was logged by another request a moment ago."""

    def __init__(self, words: str) -> None:
        """Keep the first answer."""
        super().__init__(words)
        self.words = words


@dataclass(frozen=True, slots=True)
class Marks:
    """What a page tells its scripts: whose it is, the fishroom's time zone, and when it was made."""

    member: str
    zone: str
    now_ms: int


def install(app: Flask) -> None:
    """Answer repeats before their page is asked, and say whose page each answer is."""
    app.before_request(_repeat)
    app.after_request(_whose)
    app.register_error_handler(Repeated, lambda error: _before(error.words))


def marks() -> Marks | None:
    """Return the marks of the signed-in member's page, or nothing before sign-in."""
    if "actor" not in g:
        return None
    return Marks(member(), actor().zone, round(now().timestamp() * 1000))


def member() -> str:
    """Return what tells one member in one fishroom from all others."""
    return f"{actor().user_id}-{actor().fishroom_id}"


def _whose(response: Response) -> Response:
    if "actor" in g:
        response.headers[MEMBER] = member()
    return response


def _key() -> str:
    """Return the key of the form that was sent; nothing where it has none that could be one."""
    key = request.form.get(FIELD, "") if request.method == "POST" and "actor" in g else ""
    return key if len(key) <= sent_once.LONGEST_KEY else ""


def _repeat() -> AnyResponse | None:
    key = _key()
    words = sent_once.first_answer(db(), actor(), key) if key else None
    return None if words is None else _before(words)


def _before(words: str) -> AnyResponse:
    """Answer a repeat as the first was answered."""
    from app.web.views import back  # noqa: PLC0415 - views need this module

    return onward(back("/"), Message("note", f"Logged before, and counted once: {words}"), words)


def claim() -> SentOnce | None:
    """Take the key of the form that was sent, before its act is done."""
    key = _key()
    if not key:
        return None
    taken = sent_once.claim(db(), actor(), key)
    if taken is None:
        db().rollback()
        raise Repeated(sent_once.first_answer(db(), actor(), key) or "")
    return taken


def settle(taken: SentOnce | None) -> None:
    """Keep the act's words as the answer."""
    if taken is not None:
        act: Act | None = db().info.get("act")
        sent_once.settle(db(), taken, act.words if act is not None else "Saved.")


def onward(url: str, message: Message, words: str) -> AnyResponse:
    """Lead on to ``url``; a form that had waited is told of in its own list, not on the next page."""
    asked = request.headers.get(HEADER)
    if asked != LATER:
        say(message)
    return jsonify(to=url, words=words) if asked in {NOW, LATER} else redirect(url, code=303)


def refusal(words: str) -> AnyResponse | None:
    """Return the refusal of a form that had waited and has no page of its own."""
    if HEADER not in request.headers:
        return None
    answer = jsonify(words=words)
    answer.status_code = 422
    return answer
