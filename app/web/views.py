"""What every view does in the same way: show a page, attempt an act, answer that it is done."""

from collections.abc import Callable
from typing import Any, TypeVar
from urllib.parse import urlsplit

from flask import make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from app.core.problems import Problem
from app.services.forecasts import issue_missing
from app.store.journal import Act
from app.web import waiting
from app.web.db import db
from app.web.forms.base import Form
from app.web.messages import Message, say
from app.web.signin import actor

T = TypeVar("T")
View = str | tuple[str, int] | Response


def show(template: str, **given: Any) -> str:  # noqa: ANN401 - a page and a form
    """Render a page."""
    return render_template(template, **given)


def again(template: str, **given: Any) -> Response:  # noqa: ANN401 - a page and a form
    """Render a form that was refused, with everything that was typed."""
    answer = make_response(render_template(template, **given), 422)
    if request.headers.get("HX-Request"):
        answer.headers.update(
            {"HX-Retarget": "#content", "HX-Reselect": "#content", "HX-Reswap": "outerHTML"}
        )
    return answer


def attempt(form: Form, act: Callable[[], T]) -> T | None:
    """Do ``act`` and commit when the form holds; otherwise leave the refusal on the form."""
    if not form.validate():
        return None
    taken = waiting.claim()
    try:
        made = act()
    except Problem as problem:
        db().rollback()
        form.refuse(problem)
        return None
    issue_missing(db(), actor())
    waiting.settle(taken)
    db().commit()
    return made


def rehearse(form: Form, act: Callable[[], T]) -> T | None:
    """Try ``act``, return what it shows and take it back; a refusal is left on the form."""
    if not form.validate():
        return None
    try:
        return act()
    except Problem as problem:
        form.refuse(problem)
        return None
    finally:
        db().rollback()


def done(url: str, words: str = "", *, undo: bool = True) -> Response:
    """Say what was done, with the way to take it back, and go on to ``url``."""
    act: Act | None = db().info.get("act") if undo else None
    undo_url = url_for("history.undo", act_id=act.id, next=url) if act is not None else None
    words = words or (act.words if act is not None else "Saved.")
    return waiting.onward(url, Message("done", words, undo_url, urlsplit(url).fragment), words)


def refused(url: str, form: Form) -> Response:
    """Say why an act without a page of its own was refused, and go to ``url``."""
    errors = [str(error) for field in form for error in field.errors]
    words = " ".join([*form.form_errors, *errors])
    if answer := waiting.refusal(words):
        return answer
    say(Message("refused", words))
    return redirect(url, code=303)


def back(default: str) -> str:
    """Return the page on this site that the form asked to go back to, or ``default``."""
    wanted = request.form.get("next") or request.args.get("next") or ""
    # Browsers read a backslash as a slash, and leave tabs and line ends out before they look.
    plain = wanted.isprintable() and "\\" not in wanted
    return wanted if plain and wanted.startswith("/") and not wanted.startswith("//") else default
