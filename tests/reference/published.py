"""Opens the published check values, one topic at a time."""

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

CASES = Path(__file__).with_name("checks.json")


@dataclass(frozen=True)
class Case:
    """One published value: what goes in, what must come out, and who says so."""

    id: str
    topic: int
    quantity: str
    inputs: dict[str, Any]
    expected: Any
    tol: Any
    source: str


def cases(topic: int, prefix: str = "") -> list[Case]:
    """Return the cases of ``topic`` whose id starts with ``prefix``."""
    rows = json.loads(CASES.read_text(encoding="utf-8"))["cases"]
    found = [
        Case(**{key: row[key] for key in Case.__dataclass_fields__})
        for row in rows
        if row["topic"] == topic and row["id"].startswith(prefix)
    ]
    assert found, f"no published case {topic} {prefix}"
    return found


def case(case_id: str) -> Case:
    """Return one case by its id."""
    return next(c for c in cases(int(case_id.split(".", maxsplit=1)[0])) if c.id == case_id)
