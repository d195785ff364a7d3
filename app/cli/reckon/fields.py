"""How single values are declared: each field knows its JSON Schema and reads one value strictly."""

import json
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache
from typing import Any, Generic, TypeVar

from app.core.problems import Problem

Schema = dict[str, Any]
T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)

EARLIEST, LATEST = date(1900, 1, 1), date(2199, 12, 31)
HOTTEST_C = 45.0  # no livebearer lives above; a larger figure was meant as °F


@dataclass(frozen=True, slots=True)
class Field(Generic[T_co]):
    """One value: its JSON Schema, and ``read``, which returns it or raises ``Problem``.

    ``required`` and ``default`` count only where the field is a key of an object.
    """

    schema: Schema
    read: Callable[[object], T_co]
    required: bool = True
    default: T_co | None = None


def seen(value: object) -> str:
    """Return ``value`` as JSON, short enough for one line of an error."""
    text = json.dumps(value, ensure_ascii=False, default=str)
    return text if len(text) <= 60 else text[:57] + "…"


def optional(field: Field[T], default: T | None = None) -> Field[T]:
    """Let the key be left out; the reader then finds ``default``."""
    return replace(field, required=False, default=default)


def described(field: Field[T], words: str) -> Field[T]:
    """Add a sentence for the schema."""
    return replace(field, schema={**field.schema, "description": words})


def nullable(field: Field[T]) -> Field[T | None]:
    """Let the value be null."""

    def read(value: object) -> T | None:
        return None if value is None else field.read(value)

    return Field({"anyOf": [field.schema, {"type": "null"}]}, read, field.required, field.default)


def number_field(
    minimum: float | None = None,
    maximum: float | None = None,
    unit: str = "",
    *,
    above: float | None = None,
) -> Field[float]:
    """Declare a finite number in ``unit`` from ``minimum`` to ``maximum``, or more than ``above``."""
    bounds = {"minimum": minimum, "maximum": maximum, "exclusiveMinimum": above}
    schema: Schema = {"type": "number"} | {key: b for key, b in bounds.items() if b is not None}
    if unit:
        schema["description"] = unit
    accepted = _accepted(minimum, maximum, above, unit)
    low = -math.inf if minimum is None else minimum
    high = math.inf if maximum is None else maximum

    def read(value: object) -> float:
        number = _finite(value, accepted)
        if low <= number <= high and (above is None or number > above):
            return number
        fahrenheit = " (°F?)" if unit == "°C" and number > HOTTEST_C else ""
        raise Problem(f"{seen(value)}{fahrenheit} cannot be; give {accepted}")

    return Field(schema, read)


def whole_field(minimum: int = 0, maximum: int = 1_000_000) -> Field[int]:
    """Declare a whole number."""
    accepted = f"a whole number from {minimum} to {maximum}"

    def read(value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int | float) or value != value // 1:
            raise Problem(f"{seen(value)} is not a whole number; give {accepted}")
        if not minimum <= value <= maximum:
            raise Problem(f"{seen(value)} cannot be; give {accepted}")
        return int(value)

    return Field({"type": "integer", "minimum": minimum, "maximum": maximum}, read)


def yes_no() -> Field[bool]:
    """Declare true or false."""

    def read(value: object) -> bool:
        if isinstance(value, bool):
            return value
        raise Problem(f"{seen(value)} is neither; give true or false")

    return Field({"type": "boolean"}, read)


def text_field(longest: int = 200) -> Field[str]:
    """Declare a text that is not empty."""

    def read(value: object) -> str:
        if isinstance(value, str) and value.strip() and len(value) <= longest:
            return value
        raise Problem(f"{seen(value)} is not a text; give 1 to {longest} characters in quotes")

    return Field({"type": "string", "minLength": 1, "maxLength": longest}, read)


def date_field() -> Field[date]:
    """Declare a civil date, YYYY-MM-DD."""

    def read(value: object) -> date:
        day = _date(value) if isinstance(value, str) else None
        if day is None:
            raise Problem(f"{seen(value)} is not a date; give YYYY-MM-DD")
        if not EARLIEST <= day <= LATEST:
            raise Problem(f"{seen(value)} cannot be; give a date from {EARLIEST} to {LATEST}")
        return day

    return Field({"type": "string", "format": "date"}, read)


def choice(*options: str) -> Field[str]:
    """Declare one of a few words."""
    accepted = ", ".join(options)

    def read(value: object) -> str:
        if isinstance(value, str) and value in options:
            return value
        raise Problem(f"{seen(value)} is not known; give one of: {accepted}")

    return Field({"type": "string", "enum": list(options)}, read)


def either(*fields: Field[Any]) -> Field[Any]:
    """Declare a value of one of several JSON types, chosen by its type."""
    by_type = {json_type: field for field in fields for json_type in _types(field.schema)}
    accepted = " or ".join(sorted(by_type))

    def read(value: object) -> object:
        field = by_type.get(_json_type(value))
        if field is None:
            raise Problem(f"{seen(value)} does not fit; give: {accepted}")
        return field.read(value)

    return Field({"anyOf": [field.schema for field in fields]}, read)


def _finite(value: object, accepted: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise Problem(f"{seen(value)} is not a number; give {accepted}")
    if not -1e300 < value < 1e300:
        raise Problem(f"that number is too large; give {accepted}")
    return float(value)


def _accepted(minimum: float | None, maximum: float | None, above: float | None, unit: str) -> str:
    words = f"a number ({unit})" if " " in unit else f"a number in {unit}" if unit else "a number"
    low = f"more than {above:g}" if above is not None else "" if minimum is None else f"from {minimum:g}"
    if maximum is None:
        return f"{words} {low}{' up' if minimum is not None else ''}".rstrip() if low else words
    return f"{words} {low} {'and up ' if above is not None else ''}to {maximum:g}"


@lru_cache(maxsize=4096)  # logs repeat the same dates
def _date(value: str) -> date | None:
    if len(value) != 10 or value[4] != "-" or value[7] != "-":
        return None
    try:
        return date.fromisoformat(value)
    except ValueError:
        return None


def _types(schema: Schema) -> Sequence[str]:
    if "type" in schema:
        kind = str(schema["type"])
        return ("number",) if kind == "integer" else (kind,)
    branches: list[Schema] = schema.get("anyOf", []) + schema.get("oneOf", [])
    return [kind for branch in branches for kind in _types(branch)]


def _json_type(value: object) -> str:
    names: tuple[tuple[type | tuple[type, ...], str], ...] = (
        (bool, "boolean"),
        ((int, float), "number"),
        (str, "string"),
        (list, "array"),
        (dict, "object"),
    )
    return next((name for kinds, name in names if isinstance(value, kinds)), "null")
