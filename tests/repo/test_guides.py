"""The two guides stay true: their commands exist, their example answers, their map is the tree."""

import json
import re
import shlex

import pytest
from click.testing import CliRunner

from app.cli.main import COMMANDS, commands
from tests.repo.sources import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
MAP = DEVELOPERS.split("## The map")[1].split("```")[1]
PLACE = re.compile(
    r"`((?:app/|core/|cli/|config\.|tests/|seed_demo/|migrations/|static/|templates/)[\w./]+)`"
)


def test_every_command_of_the_guides_exists() -> None:
    said = set(re.findall(r"(?:`|\.venv/bin/)broodwater (\w+)", README + DEVELOPERS))
    assert len(said) > 3
    assert said - set(COMMANDS) == set()


def test_every_command_is_in_the_guides() -> None:
    assert {name for name in COMMANDS if f"broodwater {name}" not in README} == set()


def test_the_example_of_reckoning_answers() -> None:
    line = re.search(r"^echo ('.*') \| \S+/broodwater reckon (\w+)$", README, flags=re.MULTILINE)
    assert line
    given, subject = shlex.split(line[1])[0], line[2]
    result = CliRunner().invoke(commands, ["reckon", subject], input=given)
    assert result.exit_code == 0, result.output
    window = json.loads(result.stdout)["window_80"]
    assert json.loads(given)["today"] <= window["from"] < window["to"]


def test_the_map_names_every_layer() -> None:
    packages = {path.parent.name for path in (ROOT / "app").glob("*/__init__.py")}
    named = set(re.findall(r"^  (\w+)/", MAP, flags=re.MULTILINE))
    assert packages == named


def is_there(place: str) -> bool:
    """Say whether a file, folder, module or name in a module is in the tree."""
    roots = (ROOT, ROOT / "app")
    module, _, name = place.rpartition(".")
    homes = [home for root in roots for home in (root / f"{module}.py", root / module / "__init__.py")]
    return any((root / place).exists() or (root / f"{place}.py").exists() for root in roots) or any(
        re.search(rf"^{name}\b", home.read_text(encoding="utf-8"), flags=re.MULTILINE)
        for home in homes
        if module and home.is_file()
    )


@pytest.mark.parametrize("place", sorted(set(PLACE.findall(DEVELOPERS))))
def test_a_place_that_the_guide_names_is_there(place: str) -> None:
    assert is_there(place)


@pytest.mark.parametrize(
    "place", ["config.SETTING", "core/nowhere", "tests/web/test_nothing.py", "cli/main.NO"]
)
def test_a_place_that_is_not_there_is_found(place: str) -> None:
    assert not is_there(place)
