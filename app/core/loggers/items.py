"""The readings of one message: each field by the same table that describes it to machines."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from app.core.loggers.measures import MEASURES
from app.core.problems import Problem

MOST_ITEMS = 10_000
AHEAD = timedelta(minutes=10)
"""A sensor's clock may run ahead so far (judgement)."""
OLDEST_YEARS = 20
LONGEST_NAME = 40
LARGEST_NUMBER = 2**53 - 1

STAMP = re.compile(
    r"\d{4}-\d{2}-\d{2}[Tt ]\d{2}:\d{2}:\d{2}(?P<part>\.\d+)?(?P<zone>[Zz]|[+-]\d{2}:\d{2})", re.ASCII
)
Value = str | int | float


class TooMany(Problem):
    """A message with more readings than are taken at once."""


@dataclass(frozen=True, slots=True)
class Sent:
    """One reading as it is kept: whose tank (name, number, or the logger's own), and when in UTC."""

    tank: str | int | None
    quantity: str
    value: float
    at: datetime


@dataclass(frozen=True, slots=True)
class Field:
    """One key of a reading: how it is read, and what a machine is told of it."""

    name: str
    read: Callable[[Any], Value]
    schema: Mapping[str, Any]
    words: str
    needed: bool = True


def _tank(given: Any) -> Value:  # noqa: ANN401 - whatever stood in the message
    if isinstance(given, int) and not isinstance(given, bool) and 1 <= given <= LARGEST_NUMBER:
        return given
    if isinstance(given, str) and given.strip() and len(given) <= LONGEST_NAME:
        return given.strip()
    raise Problem(f"{_seen(given)} is no tank; give its name or its number")


def _quantity(given: Any) -> Value:  # noqa: ANN401 - whatever stood in the message
    if isinstance(given, str) and given in MEASURES:
        return given
    raise Problem(f"{_seen(given)} is not measured here; give one of {', '.join(MEASURES)}")


def _number(given: Any) -> Value:  # noqa: ANN401 - whatever stood in the message
    if isinstance(given, int | float) and not isinstance(given, bool):
        return given
    raise Problem(f"{_seen(given)} is no number")


def _unit(given: Any) -> Value:  # noqa: ANN401 - whatever stood in the message
    if isinstance(given, str):
        return given
    raise Problem(f"{_seen(given)} is no unit; give a text such as C or F, or leave it out")


def _stamp(given: Any) -> Value:  # noqa: ANN401 - whatever stood in the message
    if isinstance(given, str) and STAMP.fullmatch(given):
        return given
    raise Problem(f"{_seen(given)} is no moment with its zone; give one like 2026-06-01T18:30:00Z")


FIELDS: tuple[Field, ...] = (
    Field(
        "tank",
        _tank,
        {
            "oneOf": [
                {"type": "string", "minLength": 1, "maxLength": LONGEST_NAME, "pattern": r"\S"},
                {"type": "integer", "minimum": 1, "maximum": LARGEST_NUMBER},
            ]
        },
        "The tank's name, or the number in its page's address; may be left out where the logger has a tank.",
        needed=False,
    ),
    Field("quantity", _quantity, {"type": "string", "enum": [*MEASURES]}, "What was measured."),
    Field("value", _number, {"type": "number"}, "What was shown, in the unit."),
    Field("unit", _unit, {"type": "string"}, "The unit, where it is not the usual one.", needed=False),
    Field(
        "at",
        _stamp,
        {"type": "string", "format": "date-time"},
        "When it was shown, by RFC 3339, with the zone: 2026-06-01T18:30:00Z. "
        f"At most {AHEAD.seconds // 60} minutes ahead and {OLDEST_YEARS} years back.",
    ),
)
"""Everything a reading may hold; the description is written from the same rows."""
NAMES = tuple(field.name for field in FIELDS)


def read_items(body: Any, now: datetime) -> tuple[Sent, ...]:  # noqa: ANN401 - whatever JSON held
    """Return the readings of a message: one object, or a list of them.

    Raises
    ------
    Problem
        At the first that cannot be, naming the item and the key: ``items[3].value``.
    """
    found: Sequence[Any] = body if isinstance(body, list) else [body]
    if not found:
        raise Problem("an empty list; send at least one reading", "items")
    if len(found) > MOST_ITEMS:
        raise TooMany(f"{len(found)} readings at once; send at most {MOST_ITEMS}", "items")
    oldest = now - timedelta(days=round(OLDEST_YEARS * 365.25))
    return tuple(_item(item, f"items[{place}]", now + AHEAD, oldest) for place, item in enumerate(found))


def _item(item: Any, place: str, latest: datetime, oldest: datetime) -> Sent:  # noqa: ANN401 - JSON
    if not isinstance(item, dict):
        raise Problem(f"{_seen(item)} is no reading; send an object with {', '.join(NAMES)}", place)
    strange = next((key for key in item if key not in NAMES), None)
    if strange is not None:
        raise Problem(f"unknown key; a reading has {', '.join(NAMES)}", f"{place}.{strange[:40]}")
    given = {field.name: _given(field, item, place) for field in FIELDS}
    return Sent(
        given["tank"],
        given["quantity"],
        _kept(given["quantity"], given["value"], given["unit"], place),
        _moment(given["at"], latest, oldest, f"{place}.at"),
    )


def _given(field: Field, item: dict[str, Any], place: str) -> Any:  # noqa: ANN401 - by the table's reader
    if field.name not in item:
        if field.needed:
            raise Problem("is missing", f"{place}.{field.name}")
        return None
    try:
        return field.read(item[field.name])
    except Problem as problem:
        raise Problem(problem.message, f"{place}.{field.name}") from None


def _kept(quantity: str, value: float, unit: str | None, place: str) -> float:
    """Return the value in the unit that is kept, where it can be."""
    measured = MEASURES[quantity]
    found = measured.unit(unit, f"{place}.unit")
    if not found.lowest <= value <= found.highest:  # not a number fails both
        raise Problem(
            f"{_seen(value)} {found.names[0]} cannot be {measured.key}; "
            f"{found.lowest:g} to {found.highest:g} can",
            f"{place}.value",
        )
    # A rounding may carry the limit of one unit a hair beyond the limit of the other.
    return min(max(found.kept(float(value)), measured.usual.lowest), measured.usual.highest)


def _moment(stamp: str, latest: datetime, oldest: datetime, place: str) -> datetime:
    found = STAMP.fullmatch(stamp)
    if found is None:
        raise Problem(f"{_seen(stamp)} is no moment", place)
    part = (found["part"] or "")[:7]  # the database keeps microseconds
    zone = found["zone"].upper().replace("Z", "+00:00")
    try:
        at = datetime.fromisoformat(f"{stamp[:10]}T{stamp[11:19]}{part}{zone}").astimezone(UTC)
    except (ValueError, OverflowError) as error:
        raise Problem(f"there is no such moment as {_seen(stamp)}", place) from error
    if at > latest:
        raise Problem(f"{_seen(stamp)} is still ahead; is the logger's clock right?", place)
    if at < oldest:
        raise Problem(f"{_seen(stamp)} is more than {OLDEST_YEARS} years ago", place)
    return at


def _seen(given: Any) -> str:  # noqa: ANN401 - whatever stood in the message
    """Return what was seen, short enough for a message."""
    if isinstance(given, int) and not isinstance(given, bool) and abs(given) > LARGEST_NUMBER:
        return "a number with too many digits"
    said = repr(given)
    return said if len(said) <= 40 else f"{said[:40]}…"
