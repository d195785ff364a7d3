"""A subject answers items, prints its schema and writes dates and windows as ISO."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

import numpy as np
import pytest
from jsonschema import Draft202012Validator

from app.cli.reckon.fields import either, nullable, number_field, optional
from app.cli.reckon.shapes import list_of, object_of, tagged
from app.cli.reckon.subject import Subject, written
from app.core.problems import Problem
from app.core.windows import Window

SHAPE = object_of(
    {
        "litres": number_field(above=0, unit="L"),
        "warm": optional(either(number_field(0, 45, "°C"), list_of(number_field(0, 45, "°C")))),
        "share": optional(nullable(number_field(0, 1))),
        "events": list_of(tagged("kind", {"dose": object_of({"grams": number_field(0)})}), at_least=1),
        "changes": optional(number_field()),
        "target": optional(number_field()),
    },
    one_of=[("changes", "target")],
)
SUBJECT = Subject("shape", SHAPE, object_of({"g": number_field()}), lambda item: {"g": item["litres"]})
GOOD = {"litres": 40, "warm": [24], "share": None, "events": [{"kind": "dose", "grams": 2}], "target": 1}


def test_the_schema_is_a_valid_one_of_its_draft() -> None:
    Draft202012Validator.check_schema(SUBJECT.schema())


@pytest.mark.parametrize(
    "change",
    [
        {},
        {"litres": 0},
        {"warm": 77},
        {"warm": "hot"},
        {"share": 2},
        {"events": []},
        {"events": [{"kind": "dosis", "grams": 2}]},
        {"changes": 2},
        {"colour": "red"},
        {"litres": None},
    ],
)
def test_the_schema_accepts_what_the_reader_accepts(change: dict[str, object]) -> None:
    item = GOOD | change
    valid = Draft202012Validator(SUBJECT.schema()).is_valid({"input": item})
    assert valid == Draft202012Validator(SUBJECT.schema()).is_valid({"input": [item]})
    try:
        SUBJECT.answer(item, 0)
    except ValueError:
        assert not valid
    else:
        assert valid


def test_dates_windows_and_numpy_values_are_written_plainly() -> None:
    window = Window(date(2025, 1, 2), date(2025, 1, 9))
    answer = {"w": window, "x": np.float64(0.5), "a": np.arange(2)}
    assert written(answer) == '{"w": {"from": "2025-01-02", "to": "2025-01-09"}, "x": 0.5, "a": [0, 1]}'


@pytest.mark.parametrize(
    "beyond", [lambda _: {"g": 2.0 ** float(10**6)}, lambda _: {"g": float("inf")}, lambda _: {"g": 1 / 0}]
)
def test_numbers_beyond_reckoning_are_refused(beyond: Callable[[Any], dict[str, Any]]) -> None:
    with pytest.raises(Problem, match="item 3: these numbers are too large or too small together"):
        replace(SUBJECT, run=beyond).line(GOOD, 3)


def test_an_answer_that_is_no_json_is_a_fault() -> None:
    with pytest.raises(TypeError, match="may not hold set"):
        written({"x": {1}})
    with pytest.raises(ValueError, match="not JSON compliant"):
        written({"x": float("nan")})
