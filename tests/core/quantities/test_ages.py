"""Typed ages become days."""

import pytest

from app.core.problems import Problem
from app.core.quantities.ages import parse_age


@pytest.mark.parametrize(
    ("text", "days"),
    [("10 weeks", 70), ("3 days", 3), ("4 months", 122), ("1.5 years", 548), ("½ y", 183), ("2 wk", 14)],
)
def test_an_age_becomes_days(text: str, days: int) -> None:
    assert parse_age(text) == days


@pytest.mark.parametrize("text", ["", "old", "10", "4 moons", "-3 weeks", "30 years"])
def test_what_is_no_age_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(Problem, match=r"weeks|years") as refusal:
        parse_age(text, "age")
    assert refusal.value.field == "age"
