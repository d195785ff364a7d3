"""Conversion constants agree with their published values."""

import pytest

from app.core.water import units
from tests.reference.published import case


@pytest.mark.parametrize(
    ("case_id", "computed"),
    [
        ("3.DH.1", [units.MG_L_CACO3_PER_DH]),
        ("3.DH.3", [units.MEQ_PER_DKH]),
        ("3.DH.5", [units.GRAIN_PER_US_GALLON_MG_L, units.GRAIN_PER_IMPERIAL_GALLON_MG_L]),
        ("4.CONV.1", [units.NH3_PER_N, units.NH4_PER_N]),
        ("4.CONV.2", [units.NO3_PER_N, units.NO2_PER_N]),
        ("4.CONV.4", [10 * units.NO3_PER_N, 1 * units.NO2_PER_N]),
        ("1.UNIT.1", [units.US_GALLON_L]),
    ],
)
def test_constants_are_the_published_ones(case_id: str, computed: list[float]) -> None:
    reference = case(case_id)
    expected = reference.expected if isinstance(reference.expected, list) else [reference.expected]
    assert computed == pytest.approx(expected, abs=reference.tol)
