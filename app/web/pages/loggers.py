"""Loggers: devices that send readings, let in and shut out."""

import json
import shlex

from flask import Blueprint, current_app, url_for

from app.queries.loggers import loggers_page
from app.services import loggers
from app.web.db import db
from app.web.forms.base import ActForm, text
from app.web.forms.choosing import picked
from app.web.forms.loggers import LoggerForm
from app.web.signin import actor
from app.web.views import View, again, attempt, done, refused, show

pages = Blueprint("loggers", __name__)
TEMPLATE = "pages/loggers/page.html"


@pages.get("/settings/loggers")
def page() -> View:
    """Show every logger, and ask for a new one."""
    found = loggers_page(db(), actor())
    return show(TEMPLATE, page=found, form=_form(found.tanks), token="")


@pages.post("/settings/loggers")
def add() -> View:
    """Let a logger in and show its token, once."""
    form = _form(loggers_page(db(), actor()).tanks)
    token = attempt(
        form, lambda: loggers.add_logger(db(), actor(), name=text(form.name), tank_id=picked(form.tank_id))
    )
    found = loggers_page(db(), actor())
    if token is None:
        return again(TEMPLATE, page=found, form=form, token="")
    tank = None if picked(form.tank_id) else found.example_tank
    made, example = text(form.name), _example(token, tank)
    form.name.data, form.tank_id.data = "", None
    return show(TEMPLATE, page=found, form=form, token=token, made=made, example=example)


def _example(token: str, tank: str | None) -> str:
    """Return a line for a shell that sends one reading, taken now."""
    at = f"{actor().now:%Y-%m-%dT%H:%M:%SZ}"
    reading = {"tank": tank, "quantity": "temperature", "value": 24.5, "at": at}
    body = json.dumps({key: value for key, value in reading.items() if value is not None})
    parts = (
        f"curl {current_app.config['ADDRESS']}{url_for('api.store')}",
        f"-H 'Authorization: Bearer {token}'",
        "-H 'Content-Type: application/json'",
        f"-d {shlex.quote(body)}",
    )
    return " \\\n  ".join(parts)


@pages.post("/settings/loggers/<int:logger_id>/revoke")
def revoke(logger_id: int) -> View:
    """Shut a logger out."""
    form = ActForm()
    if attempt(form, lambda: loggers.revoke_logger(db(), actor(), logger_id)) is None:
        return refused(url_for("loggers.page"), form)
    return done(url_for("loggers.page"), "Its token no longer works. What it sent stays.", undo=False)


def _form(tanks: tuple[tuple[int, str], ...]) -> LoggerForm:
    form = LoggerForm()
    form.tank_id.choices = [("", "None of its own"), *tanks]
    return form
