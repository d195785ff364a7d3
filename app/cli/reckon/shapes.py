"""How lists and objects are declared from fields: strict about keys, exact about where a mistake stands."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any, TypeVar, overload

from app.cli.reckon.fields import Field, Schema, seen
from app.core.problems import Problem

MOST_ENTRIES = 1_000_000
T = TypeVar("T")
Groups = Sequence[Sequence[str]]


def list_of(field: Field[T], at_least: int = 0, at_most: int = MOST_ENTRIES) -> Field[list[T]]:
    """Declare a list of like values."""

    def read(value: object) -> list[T]:
        if not isinstance(value, list):
            raise Problem(f"{seen(value)} is not a list; give [ … ]")
        if not at_least <= len(value) <= at_most:
            raise Problem(f"{len(value)} entries; give {_how_many(at_least, at_most)}")
        read_one, found = field.read, []
        for index, one in enumerate(value):
            try:
                found.append(read_one(one))
            except Problem as problem:
                raise Problem(problem.message, joined(f"[{index}]", problem.field)) from None
        return found

    schema: Schema = {"type": "array", "items": field.schema, "minItems": at_least, "maxItems": at_most}
    return Field(schema, read)


def map_of(field: Field[T], at_least: int = 0) -> Field[dict[str, T]]:
    """Declare an object whose keys are the caller's own names."""

    def read(value: object) -> dict[str, T]:
        if not isinstance(value, dict):
            raise Problem(f"{seen(value)} is not an object; give {{ … }}")
        if len(value) < at_least:
            raise Problem(f"{len(value)} entries; give at least {at_least}")
        return {key: _inside(field, one, f"[{seen(key)}]") for key, one in value.items()}

    schema: Schema = {"type": "object", "additionalProperties": field.schema, "minProperties": at_least}
    return Field(schema, read)


@overload
def object_of(
    fields: Mapping[str, Field[Any]], *, one_of: Groups = (), needs: Mapping[str, str] | None = None
) -> Field[dict[str, Any]]: ...


@overload
def object_of(
    fields: Mapping[str, Field[Any]],
    make: Callable[..., T],
    *,
    one_of: Groups = (),
    needs: Mapping[str, str] | None = None,
) -> Field[T]: ...


def object_of(
    fields: Mapping[str, Field[Any]],
    make: Callable[..., Any] = dict,
    *,
    one_of: Groups = (),
    needs: Mapping[str, str] | None = None,
) -> Field[Any]:
    """Declare an object with exactly these keys, built by ``make(**values)``; a plain dict without it.

    ``one_of`` lists keys of which exactly one must be there, one sequence for each such choice;
    ``needs`` says that a key makes sense only beside another.
    """
    keys = dict(fields)
    required = [key for key, field in keys.items() if field.required]
    defaults = {key: field.default for key, field in keys.items() if not field.required}
    beside = dict(needs or {})
    needed, readers = frozenset(required), {key: field.read for key, field in keys.items()}

    def read(value: object) -> object:
        if not isinstance(value, dict):
            raise Problem(f"{seen(value)} is not an object; give {{ … }} with the keys {', '.join(keys)}")
        if not needed <= value.keys() <= readers.keys():
            _check_keys(value, keys, required)
        if one_of or beside:
            _check_groups(value, one_of, beside)
        values = dict(defaults)
        for key, one in value.items():
            try:
                values[key] = readers[key](one)
            except Problem as problem:
                raise Problem(problem.message, joined(key, problem.field)) from None
        return values if make is dict else make(**values)

    return Field(_object_schema(keys, required, one_of, beside), read)


def tagged(key: str, shapes: Mapping[str, Field[T]]) -> Field[T]:
    """Declare an object whose ``key`` says which of several shapes it has.

    The tag is taken off before the shape reads the rest.
    """
    accepted = ", ".join(shapes)

    def read(value: object) -> T:
        if not isinstance(value, dict):
            raise Problem(f'{seen(value)} is not an object; give {{"{key}": one of: {accepted}, … }}')
        if key not in value:
            raise Problem(f"missing; give one of: {accepted}", key)
        shape = shapes.get(value[key]) if isinstance(value[key], str) else None
        if shape is None:
            raise Problem(f"{seen(value[key])} is not known; give one of: {accepted}", key)
        return shape.read({name: one for name, one in value.items() if name != key})

    return Field({"oneOf": [_with_tag(key, name, shape.schema) for name, shape in shapes.items()]}, read)


def _inside(field: Field[T], value: object, where: str) -> T:
    try:
        return field.read(value)
    except Problem as problem:
        raise Problem(problem.message, joined(where, problem.field)) from None


@contextmanager
def within(where: str) -> Iterator[None]:
    """Say where a problem stands that the core raises about a part of an item."""
    try:
        yield
    except Problem as problem:
        raise Problem(problem.message, joined(where, problem.field)) from None


def joined(outer: str, inner: str) -> str:
    """Join two steps of a path: ``events`` and ``[1].grams`` to ``events[1].grams``."""
    return outer + inner if not inner or inner.startswith("[") else f"{outer}.{inner}"


def _check_keys(value: dict[str, object], keys: Mapping[str, Field[Any]], required: list[str]) -> None:
    unknown = next((key for key in value if key not in keys), None)
    if unknown is not None:
        raise Problem(f"unknown key; accepted: {', '.join(keys)}", seen(unknown).strip('"'))
    missing = next((key for key in required if key not in value), None)
    if missing is not None:
        what = keys[missing].schema.get("description", keys[missing].schema.get("type", "a value"))
        raise Problem(f"missing; give {what}", missing)


def _check_groups(value: dict[str, object], one_of: Groups, needs: Mapping[str, str]) -> None:
    for group in one_of:
        given = [key for key in group if key in value]
        if len(given) != 1:
            what = "none given" if not given else f"{' and '.join(given)} given together"
            raise Problem(
                f"{what}; give exactly one of: {', '.join(group)}", given[-1] if given else group[0]
            )
    for key, other in needs.items():
        if key in value and other not in value:
            raise Problem(f"makes sense only with {other}; add {other} or leave it out", key)


def _object_schema(
    keys: Mapping[str, Field[Any]], required: list[str], one_of: Groups, needs: Mapping[str, str]
) -> Schema:
    schema: Schema = {
        "type": "object",
        "properties": {key: field.schema for key, field in keys.items()},
        "required": required,
        "additionalProperties": False,
    }
    if one_of:
        schema["allOf"] = [{"oneOf": [{"required": [key]} for key in group]} for group in one_of]
    if needs:
        schema["dependentRequired"] = {key: [other] for key, other in needs.items()}
    return schema


def _with_tag(key: str, name: str, schema: Schema) -> Schema:
    properties = {key: {"const": name}, **schema["properties"]}
    return {**schema, "properties": properties, "required": [key, *schema["required"]]}


def _how_many(at_least: int, at_most: int) -> str:
    if at_least == at_most:
        return str(at_least)
    return f"at least {at_least}" if at_most == MOST_ENTRIES else f"{at_least} to {at_most}"
