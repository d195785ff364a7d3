"""What loggers send, read or refused item by item."""

from datetime import UTC, datetime
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from app.core.loggers import Sent, description, read_items
from app.core.problems import Problem

NOW = datetime(2026, 6, 15, 12, 0, tzinfo=UTC)
GOOD: dict[str, Any] = {
    "tank": "Rack 1",
    "quantity": "temperature",
    "value": 24.5,
    "at": "2026-06-15T11:55:00Z",
}


def refusal(item: object) -> Problem:
    with pytest.raises(Problem) as problem:
        read_items([GOOD, item], NOW)
    return problem.value


def validator() -> Draft202012Validator:
    whole = description("http://localhost", "1")
    return Draft202012Validator({"$ref": "#/components/schemas/Readings", "components": whole["components"]})


def test_one_reading_may_be_sent_without_a_list() -> None:
    at = datetime(2026, 6, 15, 11, 55, tzinfo=UTC)
    assert read_items(GOOD, NOW) == (Sent("Rack 1", "temperature", 24.5, at),)


def test_a_moment_keeps_its_zone_and_its_microseconds() -> None:
    (sent,) = read_items({**GOOD, "at": "2026-06-15T06:55:00.12345678-05:00"}, NOW)
    assert sent.at == datetime(2026, 6, 15, 11, 55, 0, 123456, tzinfo=UTC)


def test_the_tank_may_be_a_number_or_left_out() -> None:
    assert read_items({**GOOD, "tank": 12}, NOW)[0].tank == 12
    assert read_items({key: GOOD[key] for key in GOOD if key != "tank"}, NOW)[0].tank is None


def test_fahrenheit_is_kept_as_celsius() -> None:
    assert read_items({**GOOD, "value": 113, "unit": "F"}, NOW)[0].value == 45.0


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"value": 77}, "value", "0 to 45 can"),
        ({"value": "24.5"}, "value", "no number"),
        ({"value": True}, "value", "no number"),
        ({"value": float("nan")}, "value", "cannot be"),
        ({"value": 10**400}, "value", "too many digits"),
        ({"unit": "furlongs"}, "unit", "give one of C, F"),
        ({"unit": None}, "unit", "no unit"),
        ({"quantity": "humidity"}, "quantity", "not measured here"),
        ({"quantity": ["pH"]}, "quantity", "not measured here"),
        ({"tank": ""}, "tank", "no tank"),
        ({"tank": True}, "tank", "no tank"),
        ({"tank": 0}, "tank", "no tank"),
        ({"at": "2026-06-15T11:55:00"}, "at", "with its zone"),
        ({"at": "yesterday"}, "at", "with its zone"),
        ({"at": 1750000000}, "at", "with its zone"),
        ({"at": "2026-02-30T11:55:00Z"}, "at", "no such moment"),
        ({"at": "0001-01-01T00:00:00+23:00"}, "at", "no such moment"),
        ({"at": "2026-06-15T12:11:00Z"}, "at", "still ahead"),
        ({"at": "2006-06-14T12:11:00Z"}, "at", "20 years"),
        ({"note": "hi"}, "note", "unknown key"),
    ],
)
def test_what_cannot_be_is_refused_by_item_and_key(change: dict[str, Any], field: str, words: str) -> None:
    problem = refusal({**GOOD, **change})
    assert problem.field == f"items[1].{field}"
    assert words in problem.message


def test_a_missing_key_is_named() -> None:
    assert refusal({"quantity": "pH", "value": 7}).field == "items[1].at"


@pytest.mark.parametrize("item", [None, 3, "x", [GOOD]])
def test_what_is_no_object_is_refused(item: object) -> None:
    assert refusal(item).field == "items[1]"


def test_a_clock_a_little_ahead_is_borne() -> None:
    assert read_items({**GOOD, "at": "2026-06-15T12:09:00Z"}, NOW)


@pytest.mark.parametrize("number", [0, 10_001])
def test_none_and_too_many_are_refused(number: int) -> None:
    with pytest.raises(Problem) as problem:
        read_items([GOOD] * number, NOW)
    assert problem.value.field == "items"


@pytest.mark.parametrize(
    "item",
    [
        GOOD,
        {**GOOD, "unit": "F", "value": 76},
        {**GOOD, "quantity": "pH", "value": 7.2},
        {**GOOD, "quantity": "nitrate", "value": 5, "unit": "mg/L N"},
        {**GOOD, "tank": 3},
    ],
)
def test_what_is_read_is_also_described(item: dict[str, Any]) -> None:
    assert read_items(item, NOW)
    assert validator().is_valid(item)
    assert validator().is_valid([item, item])


@pytest.mark.parametrize(
    "change",
    [
        {"value": 77},
        {"value": "24"},
        {"unit": "g/L"},
        {"quantity": "x"},
        {"tank": ""},
        {"at": 3},
        {"note": ""},
    ],
)
def test_what_is_refused_is_also_described_so(change: dict[str, Any]) -> None:
    assert refusal({**GOOD, **change}).message
    assert not validator().is_valid({**GOOD, **change})
