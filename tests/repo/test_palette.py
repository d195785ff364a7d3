"""The palette holds AA contrast in both themes, by the formula of WCAG 2.2."""

import re
from pathlib import Path

import pytest

TOKENS = Path("static/css/tokens.css").read_text(encoding="utf-8")
PAIRS = {
    name: (light, dark)
    for name, light, dark in re.findall(r"--([\w-]+): light-dark\((#\w{6}), (#\w{6})\)", TOKENS)
}
STAGES = sorted(name for name in PAIRS if name.startswith("stage-"))
TEXTS = ("ink", "ink-2", "water", "water-deep", "pencil", "done", "care", *STAGES)
GROUNDS = ("paper", "sheet", "wash")


def luminance(colour: str) -> float:
    """Return relative luminance as WCAG defines it for sRGB."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, 1 to 21."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_black_on_white_is_twenty_one_to_one() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


@pytest.mark.parametrize("theme", [0, 1], ids=["light", "dark"])
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("text", TEXTS)
def test_text_can_be_read_on_every_ground(text: str, ground: str, theme: int) -> None:
    assert contrast(PAIRS[text][theme], PAIRS[ground][theme]) >= 4.5


@pytest.mark.parametrize("theme", [0, 1], ids=["light", "dark"])
@pytest.mark.parametrize("filled", [*STAGES, "pencil", "done", "care"])
def test_words_on_a_filled_status_can_be_read(filled: str, theme: int) -> None:
    assert contrast(PAIRS["sheet"][theme], PAIRS[filled][theme]) >= 4.5


@pytest.mark.parametrize("theme", [0, 1], ids=["light", "dark"])
@pytest.mark.parametrize(
    ("text", "ground"),
    [
        ("on-water", "water"),
        ("on-water", "water-deep"),
        ("pencil", "pencil-wash"),
        ("ink", "pencil-wash"),
        ("ink", "done-wash"),
        ("ink", "care-wash"),
    ],
)
def test_buttons_and_messages_can_be_read(text: str, ground: str, theme: int) -> None:
    assert contrast(PAIRS[text][theme], PAIRS[ground][theme]) >= 4.5


@pytest.mark.parametrize("theme", [0, 1], ids=["light", "dark"])
@pytest.mark.parametrize("line", ["rule-2", "focus"])
@pytest.mark.parametrize("ground", GROUNDS)
def test_edges_of_fields_and_focus_can_be_seen(line: str, ground: str, theme: int) -> None:
    assert contrast(PAIRS[line][theme], PAIRS[ground][theme]) >= 3


def test_every_stage_has_a_shape_beside_its_colour() -> None:
    shapes = Path("templates/components/status.html").read_text(encoding="utf-8")
    drawn = set(re.findall(r'^  "([\w-]+)": \'<', shapes, flags=re.MULTILINE))
    coloured = set(re.findall(r"\.stage-([\w-]+)", TOKENS))
    assert coloured == drawn
