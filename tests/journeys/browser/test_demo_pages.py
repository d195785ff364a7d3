"""Every page of the demo, on phone and desk, light and dark: no accessibility fault, nothing too wide."""

import re
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest
from flask import Flask, render_template
from sqlalchemy import select

from app.store.session import RoomSession
from app.store.users import User
from seed_demo.story import load
from tests.journeys.browser.conftest import Fishroom, served
from tests.journeys.browser.phone import axe_faults
from tests.support.specimen import specimen

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = [pytest.mark.browser, pytest.mark.slow]
SCREENS = [("phone, dark", 390, "dark"), ("desk, light", 1280, "light")]
HREFS = "all => all.map(a => new URL(a.getAttribute('href'), location).href)"
ALIKE = re.compile(r"^(/methods/(?:species/)?)(?!components|species).*")
NOT_PAGES = re.compile(r"\.(csv|ics)$|^/static/|^/sign-")


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


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Fishroom]:
    """The demo's fishroom, with a page that shows every component in every state."""
    with served(tmp_path_factory.mktemp("demo"), _demo, _show_components) as room:
        yield room


def crawl(page: "Page", start: str) -> Iterator[str]:
    """Open pages from ``start`` on, one of each kind, by following every link."""
    waiting, known = [start + "/", start + "/methods/components"], set[str]()
    while waiting:
        address = waiting.pop(0)
        kind = ALIKE.sub(r"\1", re.sub(r"\d+", "N", urlsplit(address).path))
        if kind in known or NOT_PAGES.search(kind):
            continue
        known.add(kind)
        page.goto(address)
        yield address
        links = page.eval_on_selector_all("a[href]", HREFS)
        waiting += [link.split("#")[0] for link in links if link.startswith(start)]


@pytest.mark.parametrize(("width", "theme"), [screen[1:] for screen in SCREENS], ids=[s[0] for s in SCREENS])
def test_every_page_of_the_demo_is_sound(chromium: "Browser", demo: Fishroom, width: int, theme: str) -> None:
    context = chromium.new_context(
        viewport={"width": width, "height": 900},
        color_scheme="dark" if theme == "dark" else "light",
        reduced_motion="reduce",
    )
    page = context.new_page()
    page.goto(demo.link())
    faults: list[str] = []
    seen = 0
    for address in crawl(page, demo.address):
        seen += 1
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        faults += [f"{address}: {wide} px too wide"] if wide > 0 else []
        faults += [f"{address}: {fault}" for fault in axe_faults(page)]
    context.close()
    assert seen > 30, f"only {seen} pages found"
    assert not faults, "\n".join(faults)
