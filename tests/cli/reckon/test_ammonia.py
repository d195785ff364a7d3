"""``reckon ammonia`` keeps nitrogen and molecules apart."""

import pytest

from tests.cli.reckon.ask import ask, refusal
from tests.reference.published import case


def test_the_answer_is_the_published_one() -> None:
    reference = case("4.MASS.2")
    answer = ask("ammonia", {"tan_mg_per_l": 0.5, "ph": 7.6, "temperature_c": 26})
    assert answer["nh3_mg_per_l"] == pytest.approx(reference.expected, abs=reference.tol)
    assert answer["nh3_n_mg_per_l"] == pytest.approx(0.5 * answer["nh3_fraction"])


def test_a_temperature_in_fahrenheit_is_asked_about() -> None:
    item = {"tan_mg_per_l": 0.5, "ph": 7.6, "temperature_c": 78}
    assert refusal("ammonia", item).startswith("temperature_c: 78 (°F?) cannot be; give a number in °C")
