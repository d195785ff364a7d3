"""Objects know their keys, lists their lengths, and tagged objects their kinds."""

from dataclasses import dataclass

import pytest

from app.cli.reckon.fields import Field, number_field, optional, whole_field
from app.cli.reckon.shapes import joined, list_of, map_of, object_of, tagged
from app.core.problems import Problem


@dataclass(frozen=True, slots=True)
class Dose:
    """A shape to read into."""

    grams: float
    litres: float = 1.0


def problem(field: Field[object], value: object) -> tuple[str, str]:
    with pytest.raises(Problem) as caught:
        field.read(value)
    return caught.value.field, caught.value.message


DOSE = object_of({"grams": number_field(0, unit="g"), "litres": optional(number_field(), 1.0)}, Dose)


def test_an_object_is_built_from_its_keys() -> None:
    assert DOSE.read({"grams": 3}) == Dose(3.0)
    assert DOSE.read({"grams": 3, "litres": 2}) == Dose(3.0, 2.0)


def test_an_unknown_key_is_refused_with_the_known_ones() -> None:
    assert problem(DOSE, {"grams": 1, "gram": 2}) == ("gram", "unknown key; accepted: grams, litres")


def test_a_missing_key_is_refused_with_its_unit() -> None:
    assert problem(DOSE, {}) == ("grams", "missing; give g")


def test_what_is_no_object_or_no_list_is_refused() -> None:
    assert "not an object" in problem(DOSE, [])[1]
    assert "not a list" in problem(list_of(DOSE), {})[1]
    assert "not an object" in problem(map_of(DOSE), 3)[1]


def test_list_lengths_are_held() -> None:
    assert problem(list_of(DOSE, at_least=1), [])[1] == "0 entries; give at least 1"
    assert problem(list_of(DOSE, 2, 2), [{"grams": 1}])[1] == "1 entries; give 2"
    assert problem(map_of(DOSE, at_least=1), {})[1] == "0 entries; give at least 1"


def test_exactly_one_of_a_group_must_be_given() -> None:
    field = object_of(
        {"changes": optional(whole_field()), "target": optional(number_field())},
        one_of=[("changes", "target")],
    )
    assert field.read({"target": 2}) == {"changes": None, "target": 2.0}
    assert problem(field, {})[1] == "none given; give exactly one of: changes, target"
    assert "given together" in problem(field, {"changes": 1, "target": 2})[1]


def test_a_key_that_needs_another_is_refused_alone() -> None:
    field = object_of(
        {"exposed_from": optional(number_field()), "exposed_to": optional(number_field())},
        needs={"exposed_to": "exposed_from"},
    )
    assert problem(field, {"exposed_to": 1}) == (
        "exposed_to",
        "makes sense only with exposed_from; add exposed_from or leave it out",
    )


def test_a_tag_chooses_the_shape() -> None:
    field = tagged("kind", {"dose": DOSE})
    assert field.read({"kind": "dose", "grams": 2}) == Dose(2.0)
    assert problem(field, {"grams": 2}) == ("kind", "missing; give one of: dose")
    assert problem(field, {"kind": "x"}) == ("kind", '"x" is not known; give one of: dose')
    assert "not an object" in problem(field, 3)[1]


def test_paths_join_with_dots_and_brackets() -> None:
    assert joined("events", "[1]") == "events[1]"
    assert joined("events[1]", "grams") == "events[1].grams"
    assert joined("events", "") == "events"
