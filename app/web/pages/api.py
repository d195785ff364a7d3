"""The interface for loggers: readings in, and its description for machines."""

from importlib.metadata import version

from flask import Blueprint, Response, current_app, jsonify
from werkzeug.exceptions import RequestEntityTooLarge, UnprocessableEntity

from app.core.loggers import TooMany, description, read_items
from app.core.loggers.description import PATH
from app.core.problems import Problem
from app.services.loggers import store_sent
from app.web import api
from app.web.db import db
from app.web.signin import now

pages = Blueprint("api", __name__)


@pages.post(PATH)
def store() -> Response:
    """Store what a logger sent."""
    found = api.let_in(now())
    given = api.body()
    try:
        done = store_sent(db(), found.actor, found.logger_id, read_items(given, found.actor.now))
    except Problem as refusal:
        db().rollback()
        error = RequestEntityTooLarge() if isinstance(refusal, TooMany) else UnprocessableEntity()
        return api.problem(error, refusal.field, refusal.message)
    db().commit()
    answer = jsonify(stored=done.stored, repeated=done.repeated)
    answer.headers["Cache-Control"] = "no-store"
    return answer


@pages.get("/api/openapi.json")
def openapi() -> Response:
    """Describe the interface to machines."""
    return jsonify(description(current_app.config["ADDRESS"], version("broodwater")))
