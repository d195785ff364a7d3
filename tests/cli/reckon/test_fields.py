"""Fields read one value strictly and say what is accepted."""

from datetime import date

import pytest

from app.cli.reckon.fields import (
    Field,
    choice,
    date_field,
    either,
    nullable,
    number_field,
    text_field,
    whole_field,
    yes_no,
)
from app.cli.reckon.shapes import list_of, map_of, object_of
from app.core.problems import Problem


def refusal(field: Field[object], value: object) -> str:
    with pytest.raises(Problem) as caught:
        field.read(value)
    return caught.value.message


def test_a_number_is_read_as_it_stands() -> None:
    assert number_field(0, 10).read(2) == 2.0


@pytest.mark.parametrize("value", [True, "2", None, [2]])
def test_what_is_no_number_is_refused(value: object) -> None:
    assert "is not a number; give a number in g from 0 up" in refusal(number_field(0, unit="g"), value)


def test_a_number_beyond_its_bounds_is_refused_with_the_bounds() -> None:
    assert refusal(number_field(0, 1), 1.5) == "1.5 cannot be; give a number from 0 to 1"
    assert "more than 0" in refusal(number_field(above=0), 0)


def test_an_endless_number_is_refused() -> None:
    assert "too large" in refusal(number_field(), 10**400)


def test_a_temperature_above_45_asks_whether_it_is_fahrenheit() -> None:
    assert refusal(number_field(0, 45, "°C"), 77).startswith("77 (°F?) cannot be; give a number in °C")


def test_dates_are_read_as_iso_and_nothing_else() -> None:
    assert date_field().read("2025-03-09") == date(2025, 3, 9)
    for value in ("2025-3-9", "9.3.2025", "20250309", "2025-W10-7", "2025-02-30", 20250309, None):
        assert "give YYYY-MM-DD" in refusal(date_field(), value)


def test_a_date_far_outside_a_keepers_life_is_refused() -> None:
    assert "give a date from 1900-01-01" in refusal(date_field(), "0001-01-01")


def test_words_outside_the_list_are_refused_with_the_list() -> None:
    assert refusal(choice("dose", "change"), "dosis") == '"dosis" is not known; give one of: dose, change'


def test_whole_numbers_truths_and_texts_are_strict() -> None:
    assert whole_field().read(3.0) == 3
    assert "whole number" in refusal(whole_field(), 3.5)
    assert "whole number" in refusal(whole_field(), value=True)
    assert "true or false" in refusal(yes_no(), 1)
    assert "not a text" in refusal(text_field(), "  ")


def test_a_nullable_field_takes_null_and_still_refuses_nonsense() -> None:
    field = nullable(number_field())
    assert field.read(None) is None
    assert "not a number" in refusal(field, "x")


def test_a_value_of_two_types_is_read_by_its_type() -> None:
    field = either(number_field(0, 45, "°C"), list_of(number_field(0, 45, "°C")))
    assert field.read(25) == 25.0
    assert field.read([24, 25]) == [24.0, 25.0]
    assert refusal(field, "warm") == '"warm" does not fit; give: array or number'


def test_shapes_say_where_the_mistake_stands() -> None:
    field = object_of({"rows": list_of(object_of({"count": map_of(whole_field())}))})
    with pytest.raises(Problem) as caught:
        field.read({"rows": [{"count": {}}, {"count": {"red": -1}}]})
    assert caught.value.field == 'rows[1].count["red"]'
