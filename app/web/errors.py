"""Answers for what went wrong, in words."""

from flask import Flask, Response, render_template
from werkzeug.exceptions import HTTPException, InternalServerError
from werkzeug.exceptions import NotFound as NotFoundHere

from app.store.actor import Forbidden
from app.store.session import NotFound
from app.web import api

Answer = Response | tuple[str, int]


def install(app: Flask) -> None:
    """Turn what the layers raise into pages."""
    app.register_error_handler(NotFound, _missing)
    app.register_error_handler(404, _missing)
    app.register_error_handler(Forbidden, _forbidden)
    app.register_error_handler(HTTPException, _http)
    app.register_error_handler(500, _broken)


def _missing(_error: Exception) -> Answer:
    if api.mine():
        return api.problem(NotFoundHere("There is nothing at this address."))
    return render_template("errors/404.html"), 404


def _forbidden(error: Forbidden) -> Answer:
    return render_template("errors/403.html", reason=str(error)), 403


def _http(error: HTTPException) -> Answer:
    if api.mine():
        return api.problem(error)
    if error.code == 403:
        return render_template("errors/403.html", reason=error.description), 403
    words = error.description or error.name
    return render_template("errors/other.html", title=error.name, reason=words), error.code or 500


def _broken(_error: Exception) -> Answer:
    if api.mine():
        return api.problem(InternalServerError("Something broke here; send it again later."))
    return render_template("errors/500.html"), 500
