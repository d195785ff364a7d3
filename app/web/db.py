"""One session a request: reading for a look, writing for an act."""

from typing import cast

from flask import Flask, current_app, g, request
from sqlalchemy.orm import sessionmaker

from app.store.session import RoomSession

SAFE = frozenset({"GET", "HEAD", "OPTIONS"})


class Sessions:
    """The two factories a request chooses from."""

    def __init__(self, reading: sessionmaker[RoomSession], writing: sessionmaker[RoomSession]) -> None:
        """Keep both."""
        self.reading, self.writing = reading, writing


def install(app: Flask, sessions: Sessions) -> None:
    """Give every request its session and close it after."""
    app.extensions["sessions"] = sessions
    app.teardown_appcontext(_close)


def db() -> RoomSession:
    """Return this request's session."""
    if "db" not in g:
        sessions = cast("Sessions", current_app.extensions["sessions"])
        g.db = sessions.reading() if request.method in SAFE else sessions.writing()
    return cast("RoomSession", g.db)


def _close(_error: BaseException | None) -> None:
    session = g.pop("db", None)
    if session is not None:
        session.close()
