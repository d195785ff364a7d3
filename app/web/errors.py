"""Answers for what went wrong, in words."""

from flask import Flask, render_template
from werkzeug.exceptions import HTTPException

from app.store.actor import Forbidden
from app.store.session import NotFound


def install(app: Flask) -> None:
    """Turn what the layers raise into pages."""
    app.register_error_handler(NotFound, _missing)
    app.register_error_handler(404, _missing)
    app.register_error_handler(Forbidden, _forbidden)
    app.register_error_handler(HTTPException, _http)
    app.register_error_handler(500, _broken)


def _missing(_error: Exception) -> tuple[str, int]:
    return render_template("errors/404.html"), 404


def _forbidden(error: Forbidden) -> tuple[str, int]:
    return render_template("errors/403.html", reason=str(error)), 403


def _http(error: HTTPException) -> tuple[str, int]:
    if error.code == 403:
        return render_template("errors/403.html", reason=error.description), 403
    words = error.description or error.name
    return render_template("errors/other.html", title=error.name, reason=words), error.code or 500


def _broken(_error: Exception) -> tuple[str, int]:
    return render_template("errors/500.html"), 500
