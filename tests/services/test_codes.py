"""Codes of new fish."""

import pytest

from app.services.codes import chosen_codes, next_codes, prefix_of
from app.services.refusals import Refused


@pytest.mark.parametrize(
    ("name", "prefix"),
    [("Blue Grass", "BG"), ("Copper", "CO"), ("Red wag tail old", "RWT"), ("7", "F"), ("Lyra 2", "LY")],
)
def test_the_prefix_is_the_lines_initials(name: str, prefix: str) -> None:
    assert prefix_of(name) == prefix


def test_numbers_go_on_from_the_highest_in_use() -> None:
    assert next_codes("BG", 2, {"BG1", "bg7", "BGX", "C9"}) == ["BG8", "BG9"]


@pytest.mark.parametrize(
    ("typed", "number", "codes"),
    [
        ("", 2, ["BG3", "BG4"]),
        ("Amber", 1, ["Amber"]),
        ("A1, A2;\nB 1", 3, ["A1", "A2", "B 1"]),
        ("Q", 2, ["Q1", "Q2"]),
        ("Q5", 3, ["Q5", "Q6", "Q7"]),
    ],
)
def test_what_is_typed_becomes_one_code_for_each_fish(typed: str, number: int, codes: list[str]) -> None:
    assert chosen_codes(typed, number, "Blue Grass", {"BG2"}) == codes


@pytest.mark.parametrize(
    ("typed", "number", "words"),
    [
        ("A1, A2", 3, "2 codes for 3 fish"),
        ("A1, a1", 2, "already"),
        ("BG2", 1, "already"),
        ("BG1", 2, "BG2 already"),
        ("x" * 31, 1, "too long"),
        ("x" * 30, 2, "too long"),
    ],
)
def test_codes_that_cannot_be_are_refused(typed: str, number: int, words: str) -> None:
    with pytest.raises(Refused, match=words) as refusal:
        chosen_codes(typed, number, "Blue Grass", {"BG2"})
    assert refusal.value.field == "codes"


@pytest.mark.parametrize("number", [0, -1, 41])
def test_a_number_of_fish_beyond_belief_is_refused(number: int) -> None:
    with pytest.raises(Refused, match="give 1 to 40"):
        chosen_codes("", number, "Blue Grass", set())
