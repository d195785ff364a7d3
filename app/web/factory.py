"""Puts the web application together."""

import hashlib
import mimetypes
from datetime import timedelta
from pathlib import Path

from flask import Flask, url_for
from flask_compress import Compress
from jinja2 import StrictUndefined

from app.config import LARGEST_REQUEST, ROOT, Config
from app.notify.outbox import Outbox
from app.store.session import make_engine, make_sessions, writing
from app.web import api, db, errors, filters, security, signin, waiting
from app.web.addresses import address, whole
from app.web.messages import said
from app.web.navigation import navigation
from app.web.pages import register
from app.web.theme import theme

STATIC = ROOT / "static"


def create_app(config: Config, sessions: db.Sessions | None = None) -> Flask:
    """Return the application for ``config``, on its own engine unless ``sessions`` are given."""
    digest = _digest(STATIC)
    mimetypes.add_type("application/manifest+json", ".webmanifest")
    app = Flask(
        "broodwater",
        static_folder=str(STATIC),
        static_url_path=f"/static/{digest}",
        template_folder=str(ROOT / "templates"),
        root_path=str(ROOT),
    )
    _configure(app, config)
    db.install(app, sessions or open_sessions(config))
    for part in (security, signin, waiting, api, errors, filters):
        part.install(app)
    app.extensions["outbox"] = Outbox(config.secret_key, config.mail, config.private_targets)
    Compress(app)
    _templates(app)
    register(app)
    return app


def open_sessions(config: Config) -> db.Sessions:
    """Open the database of ``config``."""
    engine = make_engine(config.database, durable=config.durable)
    return db.Sessions(make_sessions(engine), make_sessions(writing(engine)))


def _configure(app: Flask, config: Config) -> None:
    app.config.update(
        SECRET_KEY=config.secret_key,
        SESSION_COOKIE_NAME="__Host-broodwater" if config.secure else "broodwater",
        SESSION_COOKIE_SECURE=config.secure,
        SESSION_COOKIE_HTTPONLY=True,
        SESSION_COOKIE_SAMESITE="Lax",
        PERMANENT_SESSION_LIFETIME=timedelta(days=60),
        SEND_FILE_MAX_AGE_DEFAULT=timedelta(days=365),
        MAX_CONTENT_LENGTH=LARGEST_REQUEST,
        COMPRESS_ALGORITHM=["br", "gzip"],
        COMPRESS_BR_LEVEL=4,
        ADDRESS=config.address,
        PICTURES=config.data / "pictures",
        CLOCK_SHIFT=config.clock_shift,
    )


def _templates(app: Flask) -> None:
    app.jinja_env.undefined = StrictUndefined
    app.jinja_env.trim_blocks = True
    app.jinja_env.lstrip_blocks = True
    app.jinja_env.globals.update(
        csrf_token=security.csrf_token,
        address=address,
        whole=whole,
        static_url=lambda name: url_for("static", filename=name),
    )
    app.context_processor(
        lambda: {
            "nav": navigation(),
            "messages": said(),
            "theme": theme(),
            "marks": waiting.marks(),
            "today_words": filters.today_words(),
        }
    )


def _digest(folder: Path) -> str:
    """Return a short digest of every static file, so that a change renames them all."""
    digest = hashlib.sha256()
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            digest.update(path.relative_to(folder).as_posix().encode())
            digest.update(path.read_bytes())
    return digest.hexdigest()[:12]
