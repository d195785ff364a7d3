"""What a person asks of the browser is kept: no motion, colours of their own, paper."""

import io
import re
from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest
from PIL import Image

from tests.journeys.browser.conftest import Fishroom, keep, screen

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator, Page

pytestmark = [pytest.mark.browser, pytest.mark.slow]

MOVING = """() => [...document.querySelectorAll("*")].filter((one) => {
  const style = getComputedStyle(one);
  return style.transitionDuration !== "0s" || style.animationName !== "none"
    || style.scrollBehavior === "smooth";
}).map((one) => one.outerHTML.slice(0, 80))"""


def test_nothing_moves_for_those_who_want_no_motion(chromium: "Browser", demo: Fishroom) -> None:
    with screen(chromium, demo) as page:
        page.goto(f"{demo.address}/methods/components")
        assert page.evaluate(MOVING) == []
        page.emulate_media(reduced_motion="no-preference")
        assert page.evaluate(MOVING), "colours glide for all others, or this test sees nothing"


def light(colour: tuple[int, ...]) -> float:
    """Return the relative luminance (WCAG 2.2)."""
    parts = [v / 255 for v in colour[:3]]
    r, g, b = (v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def stands_out(part: "Locator") -> float:
    """Return the strongest contrast between two colours of what is drawn there."""
    picture = Image.open(io.BytesIO(part.screenshot())).convert("RGB")
    colours = picture.getcolors(picture.width * picture.height) or []
    lights = [light(colour) for count, colour in colours if count > 3 and isinstance(colour, tuple)]
    return (max(lights) + 0.05) / (min(lights) + 0.05)


ESSENTIAL: dict[str, Callable[["Page"], "Locator"]] = {
    "main button": lambda page: page.locator(".button-main").first,
    "other button": lambda page: page.locator(".button-line").first,
    "chip": lambda page: page.locator(".chip").first,
    "tick box": lambda page: page.locator(".check").first,
    "field": lambda page: page.locator(".input").first,
    "list": lambda page: page.locator("select.input").first,
    "shape of a stage": lambda page: page.locator(".status .shape").first,
    "strong status": lambda page: page.locator(".status-strong .shape").first,
    "drawing": lambda page: page.locator("main .icon").first,
    "caution": lambda page: page.locator(".caution .icon").first,
    "share of a reason": lambda page: page.locator(".why[open] .why-weight svg").first,
    "ribbon": lambda page: page.locator(".ribbon-svg").first,
    "lane": lambda page: page.locator(".lane-svg").first,
    "key of a chart": lambda page: page.locator(".chart-key svg").first,
}


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_colours_of_ones_own_leave_everything_to_be_seen(
    chromium: "Browser", demo: Fishroom, theme: str
) -> None:
    with screen(chromium, demo, color_scheme=theme, forced_colors="active") as page:
        page.goto(f"{demo.address}/methods/components")
        keep(page, f"forced colours {theme}")
        faint = {name: stands_out(find(page)) for name, find in ESSENTIAL.items()}
        assert {name: ratio for name, ratio in faint.items() if ratio < 3} == {}


RIBBON = """() => {
  const of = (one, ...names) => names.map((name) => getComputedStyle(one)[name]);
  const ribbon = document.querySelector(".ribbon");
  const parts = [".r-bins", ".r-edge path", ".r-notch path", ".r-today", ".r-label"];
  const [bins, edge, notch, today, text] = parts.map((name) => ribbon.querySelector(name));
  return { page: of(document.body, "backgroundColor"), bins: of(bins, "fill"), edge: of(edge, "stroke"),
           notch: of(notch, "fill"), today: of(today, "stroke"), text: of(text, "fill") };
}"""


def test_each_part_of_a_ribbon_stands_out_in_colours_of_ones_own(chromium: "Browser", demo: Fishroom) -> None:
    with screen(chromium, demo, forced_colors="active", color_scheme="dark") as page:
        page.goto(f"{demo.address}/methods/components")
        seen = {part: _rgb(colours[0]) for part, colours in page.evaluate(RIBBON).items()}
        back = light(seen.pop("page"))
        for part, colour in seen.items():
            high, low = max(light(colour), back), min(light(colour), back)
            assert (high + 0.05) / (low + 0.05) >= 3, part


def _rgb(words: str) -> tuple[int, ...]:
    return tuple(int(float(v)) for v in re.findall(r"[\d.]+", words)[:3])


def test_the_focus_and_what_is_chosen_show_in_colours_of_ones_own(
    chromium: "Browser", demo: Fishroom
) -> None:
    with screen(chromium, demo, forced_colors="active") as page:
        page.goto(f"{demo.address}/methods/components")
        chosen, other = page.locator(".chip-in:checked + span"), page.locator(".chip-in:not(:checked) + span")
        look = "one => getComputedStyle(one).backgroundColor"
        assert chosen.first.evaluate(look) != other.first.evaluate(look)
        page.keyboard.press("Tab")
        page.keyboard.press("Tab")
        ring = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
        assert ring == "solid"


@pytest.mark.parametrize("path", ["tanks?weeks=12", "tanks?weeks=52", "month"])
def test_the_almanac_of_a_dozen_tanks_is_one_landscape_page(
    chromium: "Browser", demo: Fishroom, path: str
) -> None:
    with screen(chromium, demo) as page:
        page.goto(f"{demo.address}/almanac/{path}")
        assert page.locator(".lanes tbody, .month li").count() >= 12
        paper = page.pdf(format="A4", prefer_css_page_size=True, print_background=True)
        (size,) = set(re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", paper))
        assert len(re.findall(rb"/Type /Page\b", paper)) == 1
        assert float(size[0]) > float(size[1])


def test_a_year_of_the_almanac_scrolls_while_its_names_stay(chromium: "Browser", demo: Fishroom) -> None:
    with screen(chromium, demo, 390) as page:
        page.goto(f"{demo.address}/almanac/tanks?weeks=52")
        lanes = page.locator(".lanes")
        who = page.locator(".lanes tbody .lane-who").first
        before = who.bounding_box()
        lanes.evaluate("one => { one.scrollLeft = one.scrollWidth }")
        assert lanes.evaluate("one => one.scrollLeft") > 2500
        assert who.bounding_box() == before
        label = page.locator(".lane-axis text").filter(has_text=re.compile(r"Nov|Dec")).last
        assert label.is_visible()
