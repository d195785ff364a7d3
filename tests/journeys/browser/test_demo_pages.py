"""Every page of the demo, on phone and desk, light and dark, and enlarged: no fault, nothing lost."""

import re
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest

from tests.journeys.browser.conftest import Fishroom, screen
from tests.journeys.browser.phone import axe_faults
from tests.journeys.browser.sound import clipped, overlaps, too_wide

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = [pytest.mark.browser, pytest.mark.slow]
SCREENS = [("phone, dark", 390, "dark"), ("desk, light", 1280, "light")]
HREFS = "all => all.map(a => new URL(a.getAttribute('href'), location).href)"
ALIKE = re.compile(r"^(/methods/(?:species/)?)(?!components|species).*")
NOT_PAGES = re.compile(r"\.(csv|ics)$|^/static/|^/sign-")


def crawl(page: "Page", start: str) -> Iterator[str]:
    """Open pages from ``start`` on, one of each kind, by following every link."""
    waiting, known = [start + "/", start + "/methods/components"], set[str]()
    while waiting:
        address = waiting.pop(0)
        kind = ALIKE.sub(r"\1", re.sub(r"\d+", "N", urlsplit(address).path))
        if kind in known or NOT_PAGES.search(kind):
            continue
        known.add(kind)
        answer = page.goto(address)
        assert answer is not None
        assert answer.ok, f"{address}: {answer.status}"
        yield address
        links = page.eval_on_selector_all("a[href]", HREFS)
        waiting += [link.split("#")[0] for link in links if link.startswith(start)]


def faults_of(page: "Page", start: str, look: Callable[["Page"], list[str]]) -> list[str]:
    """Return what ``look`` finds on all pages."""
    faults: list[str] = []
    seen = 0
    for address in crawl(page, start):
        seen += 1
        faults += [f"{address}: {fault}" for fault in look(page)]
    assert seen > 30, f"only {seen} pages found"
    return faults


@pytest.mark.parametrize(("width", "theme"), [screen[1:] for screen in SCREENS], ids=[s[0] for s in SCREENS])
def test_every_page_of_the_demo_is_sound(chromium: "Browser", demo: Fishroom, width: int, theme: str) -> None:
    with screen(chromium, demo, width, color_scheme=theme) as page:
        faults = faults_of(page, demo.address, lambda p: [*too_wide(p), *overlaps(p), *axe_faults(p)])
        assert not faults, "\n".join(faults)


def test_nothing_is_lost_when_the_page_is_enlarged_twofold(chromium: "Browser", demo: Fishroom) -> None:
    """A window of 1280 px that is zoomed to 200 % has 640 px of its own left, each drawn larger."""
    with screen(chromium, demo, 640, device_scale_factor=2) as page:
        faults = faults_of(page, demo.address, lambda p: [*too_wide(p), *overlaps(p), *clipped(p)])
        assert not faults, "\n".join(faults)
