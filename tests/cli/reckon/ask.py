"""Asks a subject the way a script does: JSON in, JSON or one line of refusal out."""

import json
from typing import Any

from click.testing import CliRunner
from jsonschema import Draft202012Validator

from app.cli.reckon.command import reckon
from app.cli.reckon.registry import subject

Item = dict[str, Any]


def ask(name: str, item: Item) -> Item:
    """Return the answer to one item, once it agrees with the schema and with an array of two."""
    schema = subject(name).schema()
    answer = _run(name, item)
    assert _run(name, [item, item]) == [answer, answer]
    Draft202012Validator.check_schema(schema)
    Draft202012Validator(schema).validate({"input": item, "output": answer})
    assert isinstance(answer, dict)
    return answer


def refusal(name: str, item: Item) -> str:
    """Return the line that refuses ``item``, without its beginning."""
    result = CliRunner().invoke(reckon, [name], input=json.dumps(item))
    assert (result.exit_code, result.stdout) == (2, ""), result.output
    assert result.stderr.count("\n") == 1
    assert result.stderr.startswith("broodwater reckon: item 0")
    return result.stderr.removeprefix("broodwater reckon: item 0").strip().removeprefix(", ")


def _run(name: str, given: Item | list[Item]) -> Any:  # noqa: ANN401 (whatever JSON says)
    result = CliRunner().invoke(reckon, [name], input=json.dumps(given))
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)
