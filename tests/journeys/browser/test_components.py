"""The page of components, in both themes and widths: nothing too wide, covered, cut or faint."""

from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest

from tests.journeys.browser.conftest import Fishroom, keep, screen
from tests.journeys.browser.phone import axe_faults
from tests.journeys.browser.sound import clipped, covered, overlaps, too_wide

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = [pytest.mark.browser, pytest.mark.slow]

FAINT = """() => {
  const paint = document.createElement("canvas").getContext("2d", { willReadFrequently: true });
  const pixel = (...layers) => {
    for (const [colour, depth] of layers) {
      paint.globalAlpha = depth;
      paint.fillStyle = colour;
      paint.fillRect(0, 0, 1, 1);
    }
    return [...paint.getImageData(0, 0, 1, 1).data].slice(0, 3);
  };
  const light = (rgb) => {
    const [r, g, b] = rgb.map((v) => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ratio = (a, b) => (Math.max(light(a), light(b)) + 0.05) / (Math.min(light(a), light(b)) + 0.05);
  const sheet = [getComputedStyle(document.querySelector(".sheet")).backgroundColor, 1];
  const found = [];
  for (const text of document.querySelectorAll("main svg text")) {
    const within = text.closest(".lane-word-in");
    const tone = within && getComputedStyle(within.parentElement.querySelector(".r-bins")).fill;
    const under = tone ? [[tone, 0.45]] : [];
    const seen = ratio(pixel(sheet, ...under), pixel([getComputedStyle(text).fill, 1]));
    if (seen < 4.5) found.push(`${text.textContent}: ${seen.toFixed(2)}`);
  }
  return found;
}"""
"""Labels of drawings against the paper or the window they stand in; axe-core does not read these."""


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1280])
def test_every_component_in_every_state_is_sound(
    chromium: "Browser", demo: Fishroom, width: int, theme: str
) -> None:
    with screen(chromium, demo, width, color_scheme=theme) as page:
        page.goto(f"{demo.address}/methods/components")
        page.locator("[data-ready] canvas").last.wait_for()
        keep(page, f"components {width} {theme}")
        faults = [*too_wide(page), *overlaps(page), *covered(page), *clipped(page), *page.evaluate(FAINT)]
        assert not faults + axe_faults(page)


@pytest.mark.parametrize(
    ("fault", "seen"),
    [
        ("main.style.width = '2000px'", too_wide),
        ("main.querySelector('h1').style.marginBottom = '-2rem'", overlaps),
        ("main.querySelector('.subnav').style.cssText = 'position: relative; z-index: -1'", covered),
        ("main.querySelector('.chip').style.cssText = 'width: 2rem; overflow: hidden'", clipped),
        ("main.style.setProperty('--ink-2', '#9aa')", lambda page: page.evaluate(FAINT)),
        ("main.style.setProperty('--ink', '#9aa')", axe_faults),
    ],
    ids=["too wide", "overlap", "covered", "clipped", "faint label", "faint text"],
)
def test_each_kind_of_fault_would_be_seen(
    chromium: "Browser", demo: Fishroom, fault: str, seen: "Callable[[Page], list[str]]"
) -> None:
    with screen(chromium, demo, 390, color_scheme="light") as page:
        page.goto(f"{demo.address}/methods/components")
        page.evaluate(f"main => {{ {fault} }}", page.query_selector("main"))
        assert seen(page)
