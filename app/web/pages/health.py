"""Says that the server is alive, to whoever asks."""

from flask import Blueprint
from sqlalchemy import text

from app.web.db import db

pages = Blueprint("health", __name__)


@pages.get("/healthz")
def healthz() -> tuple[str, int, dict[str, str]]:
    """Answer in plain text once the database answers."""
    db().execute(text("SELECT 1"))
    return "ok\n", 200, {"Content-Type": "text/plain; charset=utf-8"}
