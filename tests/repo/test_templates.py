"""Templates keep to the strict policy: no style, no script and no handler inside a page."""

import re
from pathlib import Path

import pytest

TEMPLATES = sorted(p for p in Path("templates").rglob("*.html") if "mail" not in p.parts)
INLINE = re.compile(
    r"\sstyle=|<style|\son[a-z]+=|javascript:|hx-on|<script(?![^>]*(?:src=|application/json))"
)


@pytest.mark.parametrize("path", TEMPLATES, ids=str)
def test_a_template_holds_no_inline_style_or_script(path: Path) -> None:
    assert INLINE.findall(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    "line",
    ['<p style="x">', "<script>x()</script>", '<a onclick="x()">', "<style>p{}</style>", "<b hx-on:click=x>"],
)
def test_what_the_policy_forbids_is_found(line: str) -> None:
    assert INLINE.findall(line)


@pytest.mark.parametrize(
    "line", ['<script src="/a.js" defer></script>', '<script type="application/json">{}</script>']
)
def test_what_the_policy_allows_is_left_alone(line: str) -> None:
    assert not INLINE.findall(line)
