"""A real server on its own database, a real browser, and a phone that checks every page it opens."""

import os
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from flask import Flask, render_template
from sqlalchemy import select
from waitress.server import create_server
from waitress.wasyncore import close_all

from app.config import Config
from app.services import accounts
from app.store import migrating
from app.store.session import RoomSession, make_engine, make_sessions, sqlite_url, writing
from app.store.users import Role, User
from app.web.db import Sessions
from app.web.factory import create_app
from seed_demo.story import load
from tests.journeys.browser.phone import Phone
from tests.support.specimen import specimen

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

CHROMIUM = Path("/usr/bin/chromium")
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
FIRST_DAY = date(2026, 3, 2)


@pytest.fixture(autouse=True)
def noon() -> None:
    """Leave the clock alone: browser and server need real time; the server's day is shifted instead."""


@pytest.fixture(scope="session")
def chromium() -> "Iterator[Browser]":
    """One browser for all journeys."""
    if not CHROMIUM.exists():
        pytest.skip("Chromium is not installed (apt-get install chromium)")
    from playwright.sync_api import sync_playwright  # noqa: PLC0415 - only with a browser

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=list(FLAGS))
        yield browser
        browser.close()


@dataclass
class Fishroom:
    """A server with one fishroom, whose day can be set."""

    app: Flask
    address: str
    sessions: Any
    user_id: int

    def day(self, day: date) -> None:
        """Make it nine in the morning of ``day``."""
        wanted = datetime.combine(day, time(9), UTC)
        self.app.config["CLOCK_SHIFT"] = wanted - datetime.now(UTC)  # noqa: TID251 - a real clock

    def link(self) -> str:
        """Return a fresh sign-in link."""
        now = datetime.now(UTC) + self.app.config["CLOCK_SHIFT"]  # noqa: TID251 - a real clock
        with self.sessions() as session:
            token = accounts.make_link(session, session.get_one(User, self.user_id), now)
            session.commit()
        return f"{self.address}/sign-in/{token}"


@contextmanager
def served(
    folder: Path, fill: Callable[[RoomSession], User], prepare: Callable[[Flask], None]
) -> Iterator[Fishroom]:
    """Serve a database of its own on a free port of this machine."""
    url = sqlite_url(folder / "journey.sqlite3")
    migrating.upgrade(url)
    engine = make_engine(url)
    sessions = make_sessions(engine)
    with sessions() as session:
        user_id = fill(session).id
        session.commit()
    config = Config(data=folder, database=url, secret_key="only for tests")
    app = create_app(config, Sessions(sessions, make_sessions(writing(engine))))
    prepare(app)
    sockets: dict[int, Any] = {}
    server = create_server(app, map=sockets, host="127.0.0.1", port=0, threads=4)
    loop = threading.Thread(target=_until_closed, args=(server.run,), daemon=True)
    loop.start()
    yield Fishroom(app, f"http://127.0.0.1:{server.effective_port}", sessions, user_id)
    server.task_dispatcher.shutdown()
    server.close()
    close_all(sockets, ignore_all=True)
    loop.join(timeout=5)
    engine.dispose()


def _until_closed(run: Callable[[], None]) -> None:
    """Serve; the test's end closes what the server waits on, and that may be seen as an error of it."""
    with suppress(OSError, ValueError):
        run()


def _empty(session: RoomSession) -> User:
    now = datetime.combine(FIRST_DAY, time(9), UTC)
    room = accounts.add_fishroom(session, "Cellar", now)
    user = accounts.add_user(session, "keeper@fish.example", "a long enough password", now)
    accounts.add_member(session, room, user, Role.KEEPER)
    return user


@pytest.fixture
def fishroom(tmp_path: Path) -> Iterator[Fishroom]:
    """An empty fishroom, on a spring morning."""
    with served(tmp_path, _empty, lambda _app: None) as room:
        room.day(FIRST_DAY)
        yield room


def _demo(session: RoomSession) -> User:
    load(session, datetime.now(UTC), lambda _words: None)  # noqa: TID251 - a real clock
    user = session.scalars(select(User).order_by(User.id)).first()
    assert user is not None
    return user


def _show_components(app: Flask) -> None:
    today = datetime.now(UTC).date()  # noqa: TID251 - a real clock
    app.add_url_rule(
        "/methods/components",
        "components",
        lambda: render_template("pages/methods/components.html", page=specimen(today)),
    )


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Fishroom]:
    """The demo's fishroom, with a page that shows every component in every state."""
    with served(tmp_path_factory.mktemp("demo"), _demo, _show_components) as room:
        yield room


@contextmanager
def screen(browser: "Browser", room: Fishroom, width: int = 1280, **more: Any) -> "Iterator[Page]":  # noqa: ANN401
    """A page on a screen of its own, signed in; ``more`` is what the browser is told of the person."""
    more = {"viewport": {"width": width, "height": 900}, "reduced_motion": "reduce", **more}
    context = browser.new_context(**more)
    page = context.new_page()
    page.goto(room.link())
    yield page
    context.close()


def keep(page: "Page", name: str) -> None:
    """Keep what is on the screen for whoever wants to look (BROODWATER_SCREENSHOTS)."""
    if folder := os.environ.get("BROODWATER_SCREENSHOTS"):
        page.screenshot(path=f"{folder}/{name}.png", full_page=True)


@pytest.fixture(params=[True, False], ids=["with JavaScript", "without JavaScript"])
def phone(request: pytest.FixtureRequest, chromium: "Browser", fishroom: Fishroom) -> Iterator[Phone]:
    """A phone of 390 px, signed in, with and without JavaScript."""
    context = chromium.new_context(
        viewport={"width": 390, "height": 844},
        java_script_enabled=request.param,
        has_touch=True,
        reduced_motion="reduce",
    )
    checker = chromium.new_context(viewport={"width": 390, "height": 844}, reduced_motion="reduce")
    page = context.new_page()
    page.goto(fishroom.link())
    yield Phone(page, fishroom.address, checker)
    keep(page, request.node.name)
    context.close()
    checker.close()
