"""Draws items that a subject's own JSON Schema admits, as strategies of hypothesis."""

from datetime import date
from typing import Any

from hypothesis import strategies as st

Schema = dict[str, Any]
MOST = 4  # entries of a list


def admitted(schema: Schema) -> st.SearchStrategy[Any]:
    """Return what a schema of the kinds used here admits; dates lie within a year or so of each other."""
    for key in ("anyOf", "oneOf"):
        if key in schema:
            return st.one_of([admitted(one) for one in schema[key]])
    if "const" in schema:
        return st.just(schema["const"])
    if "enum" in schema:
        return st.sampled_from(schema["enum"])
    return _BY_TYPE[schema["type"]](schema)


def _number(schema: Schema) -> st.SearchStrategy[float]:
    above = schema.get("exclusiveMinimum")
    low = above if above is not None else schema.get("minimum", -1e6)
    return st.floats(low, schema.get("maximum", 1e6), exclude_min=above is not None, allow_subnormal=False)


def _whole(schema: Schema) -> st.SearchStrategy[int]:
    return st.integers(schema["minimum"], min(schema["maximum"], schema["minimum"] + 300))


def _text(schema: Schema) -> st.SearchStrategy[str]:
    if schema.get("format") == "date":
        return st.dates(date(2025, 9, 1), date(2026, 12, 31)).map(str)
    return st.sampled_from(["A", "a", "B", "CaCl2", "red", "x y"])


def _list(schema: Schema) -> st.SearchStrategy[list[Any]]:
    least = schema["minItems"]
    return st.lists(admitted(schema["items"]), min_size=least, max_size=min(schema["maxItems"], least + MOST))


@st.composite
def _object(draw: st.DrawFn, schema: Schema) -> dict[str, Any]:
    if "properties" not in schema:
        names, least = st.sampled_from(["A", "a", "B", "red"]), schema["minProperties"]
        return draw(
            st.dictionaries(names, admitted(schema["additionalProperties"]), min_size=least, max_size=MOST)
        )
    fields, keys = schema["properties"], set(schema["required"])
    grouped = [[one["required"][0] for one in group["oneOf"]] for group in schema.get("allOf", [])]
    free = sorted(set(fields) - keys - {key for group in grouped for key in group})
    beside = schema.get("dependentRequired", {})
    chosen = {draw(st.sampled_from(group)) for group in grouped}
    keys |= chosen | {other for key in chosen for other in beside.get(key, ())}
    keys |= {key for key in free if draw(st.booleans()) and set(beside.get(key, ())) <= keys}
    return {key: draw(admitted(fields[key])) for key in fields if key in keys}


_BY_TYPE = {
    "number": _number,
    "integer": _whole,
    "string": _text,
    "boolean": lambda _: st.booleans(),
    "null": lambda _: st.none(),
    "array": _list,
    "object": _object,
}
