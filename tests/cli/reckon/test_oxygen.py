"""``reckon oxygen`` gives the tables' saturation."""

import pytest

from tests.cli.reckon.ask import ask, refusal
from tests.reference.published import case


def test_saturation_is_the_published_one() -> None:
    reference = case("5.FW.5")
    answer = ask("oxygen", {"temperature_c": 20, "salinity_g_per_kg": 0, "pressure_kpa": 101.325})
    assert answer["saturation_mg_per_l"] == pytest.approx(reference.expected, abs=reference.tol)


def test_all_three_are_wanted() -> None:
    assert refusal("oxygen", {"temperature_c": 20, "salinity_g_per_kg": 0}).startswith(
        "pressure_kpa: missing"
    )
