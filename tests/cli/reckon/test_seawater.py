"""``reckon seawater`` goes both ways."""

import pytest

from tests.cli.reckon.ask import ask, refusal
from tests.reference.published import case


def test_gravity_from_salinity_is_the_published_one() -> None:
    for case_id in ("1.SG.1", "1.SG.2", "1.SG.5"):
        reference = case(case_id)
        given = reference.inputs
        item = {"salinity_g_per_kg": given["S"], "temperature_c": 25, "reference_c": given["tref90_C"]}
        gravity = ask("seawater", item)["specific_gravity"]
        assert gravity == pytest.approx(reference.expected, abs=reference.tol)


def test_salinity_from_gravity_is_the_published_one() -> None:
    reference = case("1.SGINV.2")
    answer = ask("seawater", {"specific_gravity": 1.005, "temperature_c": 25, "reference_c": 25})
    assert answer["salinity_g_per_kg"] == pytest.approx(reference.expected, abs=reference.tol)


def test_exactly_one_of_the_two_is_wanted() -> None:
    assert "exactly one of: salinity_g_per_kg, specific_gravity" in refusal("seawater", {"temperature_c": 25})
    item = {"specific_gravity": 1.09, "temperature_c": 25}
    assert refusal("seawater", item).startswith("specific_gravity: 1.09 cannot be at 25 °C")
