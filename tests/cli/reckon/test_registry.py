"""Every subject of the contract is there, loaded only when asked for, with a valid schema."""

import json
import subprocess
import sys

import pytest
from click.testing import CliRunner
from jsonschema import Draft202012Validator

from app.cli.reckon.command import reckon
from app.cli.reckon.registry import SUMMARIES, subject


@pytest.mark.parametrize("name", SUMMARIES)
def test_every_subject_prints_a_valid_schema_of_input_and_output(name: str) -> None:
    result = CliRunner().invoke(reckon, [name, "--schema"])
    schema = json.loads(result.stdout)
    Draft202012Validator.check_schema(schema)
    assert schema["title"] == f"broodwater reckon {name}"
    assert set(schema["$defs"]) == {"input", "output"}


@pytest.mark.parametrize("name", SUMMARIES)
def test_every_subject_refuses_what_is_no_object(name: str) -> None:
    assert subject(name).name == name
    for given in ("3", '[{"no such key": 1}]', "null", "[[]]"):
        result = CliRunner().invoke(reckon, [name], input=given)
        assert (result.exit_code, result.stdout) == (2, "")
        assert result.stderr.startswith("broodwater reckon: item 0")
        assert result.stderr.count("\n") == 1


def test_a_module_without_a_subject_is_a_fault() -> None:
    with pytest.raises(AttributeError):
        subject("measures")


def test_one_subject_loads_no_other() -> None:
    code = (
        "import sys, app.cli.reckon.command as c; c.subject('ammonia');"
        "print(sorted(m for m in sys.modules if m.startswith('app.cli.reckon.') or m in {'scipy', 'pint'}))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)  # noqa: S603
    assert "salt" not in run.stdout
    assert "scipy" not in run.stdout
    assert "pint" not in run.stdout
