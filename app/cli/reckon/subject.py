"""What a subject of ``broodwater reckon`` is: what goes in, what comes out, and the run between."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any

from app.cli.reckon.fields import Field, Schema
from app.core.problems import Problem
from app.core.windows import Window

DRAFT = "https://json-schema.org/draft/2020-12/schema"
Output = dict[str, Any]
BEYOND = "these numbers are too large or too small together to be reckoned with; check their units"


@dataclass(frozen=True, slots=True)
class Subject:
    """One subject; its file exports it as ``SUBJECT`` and the registry holds its one-line summary.

    ``accepts`` reads one item; ``run`` gets what it read and returns one answer, shaped as
    ``returns`` says. Dates and windows in the answer are written as ISO dates and ``{"from","to"}``.
    """

    name: str
    accepts: Field[Any]
    returns: Field[Any]
    run: Callable[[Any], Output]

    def answer(self, item: object, index: int) -> Output:
        """Run one item; a problem names the item and its key."""
        try:
            return self.run(self.accepts.read(item))
        except Problem as problem:
            where = f", {problem.field}" if problem.field else ""
            raise Problem(f"item {index}{where}: {problem.message}") from None
        except ArithmeticError:
            raise Problem(f"item {index}: {BEYOND}") from None

    def line(self, item: object, index: int) -> str:
        """Run one item and return its answer as JSON; refuse an answer that no number can hold."""
        answer = self.answer(item, index)
        try:
            return written(answer)
        except ValueError:
            raise Problem(f"item {index}: {BEYOND}") from None

    def schema(self) -> Schema:
        """Return the JSON Schema of input and output."""
        return {
            "$schema": DRAFT,
            "title": f"broodwater reckon {self.name}",
            "type": "object",
            "properties": {"input": _one_or_many("input"), "output": _one_or_many("output")},
            "$defs": {"input": self.accepts.schema, "output": self.returns.schema},
        }


def written(answer: object) -> str:
    """Return an answer as one line of JSON."""
    return _ENCODER.encode(answer)


def _one_or_many(name: str) -> Schema:
    one = {"$ref": f"#/$defs/{name}"}
    return {"anyOf": [one, {"type": "array", "items": one}]}


def _plain(value: object) -> object:
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Window):
        return {"from": value.start.isoformat(), "to": value.end.isoformat()}
    if hasattr(value, "tolist"):  # numpy scalars and arrays
        return value.tolist()
    raise TypeError(f"an answer may not hold {type(value).__name__}")


_ENCODER = json.JSONEncoder(default=_plain, ensure_ascii=False, allow_nan=False)
