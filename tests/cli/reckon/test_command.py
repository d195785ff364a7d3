"""The command keeps its contract: same shape out, exit code 2 and one line for bad input."""

import json

import pytest
from click.testing import CliRunner, Result

from app.cli.reckon import command
from app.cli.reckon.command import reckon
from app.cli.reckon.fields import date_field, number_field
from app.cli.reckon.registry import SUMMARIES
from app.cli.reckon.shapes import object_of
from app.cli.reckon.subject import Output, Subject
from app.core.problems import Problem


def halve(item: Output) -> Output:
    if item["grams"] > 100:
        raise Problem("more than the tank can hold; give less", "grams")
    return {"half": item["grams"] / 2, "day": item["day"]}


HALF = Subject(
    "half",
    object_of({"grams": number_field(0, unit="g"), "day": date_field()}),
    object_of({"half": number_field(0, unit="g"), "day": date_field()}),
    halve,
)


@pytest.fixture(autouse=True)
def _half(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(command, "SUMMARIES", {"half": "half of it"})
    monkeypatch.setattr(command, "subject", {"half": HALF}.__getitem__)


def run(stdin: str | bytes, *args: str) -> Result:
    return CliRunner().invoke(reckon, args or ["half"], input=stdin)


def refused(stdin: str | bytes, *args: str) -> str:
    result = run(stdin, *args)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.count("\n") == 1
    return result.stderr


def test_one_object_in_gives_one_object_out() -> None:
    result = run('{"grams": 3, "day": "2025-01-31"}')
    assert (result.exit_code, json.loads(result.stdout)) == (0, {"half": 1.5, "day": "2025-01-31"})


def test_an_array_in_gives_an_array_out() -> None:
    items = [{"grams": n, "day": "2025-01-31"} for n in range(3)]
    assert [one["half"] for one in json.loads(run(json.dumps(items)).stdout)] == [0, 0.5, 1]
    assert json.loads(run("[]").stdout) == []


def test_a_bad_item_is_named_by_its_place_and_key() -> None:
    items = [{"grams": 3, "day": "2025-01-31"}, {"grams": -3, "day": "2025-01-31"}]
    line = refused(json.dumps(items))
    assert line == "broodwater reckon: item 1, grams: -3 cannot be; give a number in g from 0 up\n"


def test_a_problem_of_the_core_is_reported_the_same_way() -> None:
    line = refused('{"grams": 300, "day": "2025-01-31"}')
    assert line == "broodwater reckon: item 0, grams: more than the tank can hold; give less\n"


@pytest.mark.parametrize(
    ("stdin", "words"),
    [
        ("", "not JSON"),
        ('{"grams": 1', "not JSON (Expecting"),
        ('{"grams": NaN, "day": "2025-01-31"}', "NaN is not a number"),
        ('{"grams": -Infinity, "day": "2025-01-31"}', "-Infinity is not a number"),
        ('{"grams": 1e999, "day": "2025-01-31"}', "too large"),
        ('{"grams": ' + "9" * 5000 + "}", "too long"),
        ("[" * 100_000, "too deep"),
        ('{"grams": 1, "grams": 2}', '"grams" stands twice'),
        (b"\xff\xfe", "not UTF-8"),
        ('{"grams": 1, "day": "2025-01-31", "tank": "A\\nB"}', "item 0, tank: unknown key"),
        ('{"day": "2025-01-31"}', "item 0, grams: missing; give g"),
        ("3", "item 0: 3 is not an object"),
    ],
)
def test_input_that_cannot_be_read_is_refused_in_one_line(stdin: str | bytes, words: str) -> None:
    assert words in refused(stdin)


def test_an_unknown_subject_is_refused_with_the_known_ones() -> None:
    assert refused("{}", "third") == 'broodwater reckon: no subject "third"; accepted: half\n'
    assert "no subject given" in CliRunner().invoke(reckon, [], input="").stderr


def test_a_key_with_a_line_break_stays_on_one_line() -> None:
    refused('{"a\\nb": 1}')


def test_help_lists_the_subjects() -> None:
    result = CliRunner().invoke(reckon, ["--help"])
    assert "half of it" in result.stdout
    assert len(SUMMARIES) == 16
