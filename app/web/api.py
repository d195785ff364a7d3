"""What differs for a program that sends JSON with a token: its answers, its way in, its pace."""

import json
from datetime import datetime
from typing import Any, cast

from flask import Flask, Response, current_app, g, request
from werkzeug.datastructures import WWWAuthenticate
from werkzeug.exceptions import HTTPException, TooManyRequests, Unauthorized

from app.core.loggers.description import MOST_BYTES
from app.services.loggers import Heard, heard
from app.store.session import enter
from app.web.db import db
from app.web.throttle import Throttle

PREFIX = "/api/"
BY_TOKEN = frozenset({"api.store"})
"""No cookie counts here, so another site has nothing to forge."""
MESSAGES, A_MINUTE = 120, 60
"""A sensor's five-minute rhythm needs one in five minutes; the rest is for catching up (judgement)."""
WRONG_TOKENS, FIVE_MINUTES = 30, 300


def install(app: Flask) -> None:
    """Count messages by logger, and wrong tokens by address."""
    app.extensions["messages"] = Throttle(limit=MESSAGES, seconds=A_MINUTE)
    app.extensions["wrong_tokens"] = Throttle(limit=WRONG_TOKENS, seconds=FIVE_MINUTES)


def mine() -> bool:
    """Say whether a program asks, and not a person."""
    return request.path.startswith(PREFIX)


def problem(error: HTTPException, field: str = "", words: str = "") -> Response:
    """Answer what went wrong as JSON, with the error's own headers."""
    answer = cast("Response", error.get_response())
    said = {"error": words or error.description or error.name, **({"field": field} if field else {})}
    answer.set_data(json.dumps(said))
    answer.content_type = "application/json"
    return answer


def let_in(now: datetime) -> Heard:
    """Return the logger whose token was sent, or refuse."""
    sent = request.authorization
    token = sent.token if sent is not None and sent.type == "bearer" else None
    found = heard(db(), token, now) if token else None
    if found is None:
        _slow_down("wrong_tokens", request.remote_addr or "", now, FIVE_MINUTES)
        raise Unauthorized(
            "Send a logger’s token: Authorization: Bearer TOKEN. A revoked one no longer works.",
            www_authenticate=WWWAuthenticate("bearer"),
        )
    _slow_down("messages", str(found.logger_id), now, A_MINUTE)
    enter(db(), found.actor.fishroom_id)
    g.actor = found.actor
    return found


def _slow_down(which: str, key: str, now: datetime, seconds: int) -> None:
    throttle = cast("Throttle", current_app.extensions[which])
    if not throttle.allows(key, now):
        raise TooManyRequests("Too many messages. Send many readings in one.", retry_after=seconds)


def body() -> Any:  # noqa: ANN401 - whatever JSON holds
    """Return what was sent; refuse what is no JSON or too long."""
    request.max_content_length = MOST_BYTES
    if request.mimetype != "application/json":
        raise _refusal(415, "Send the readings as application/json.")
    try:
        return json.loads(request.get_data(), parse_constant=_no_number)
    except (ValueError, RecursionError) as error:
        raise _refusal(400, "That is not JSON.") from error


def _no_number(name: str) -> None:
    raise ValueError(name)  # NaN and Infinity are no JSON


def _refusal(code: int, words: str) -> HTTPException:
    error = HTTPException(words)
    error.code = code
    return error
