"""Saturation agrees with the standard tables and with the oceanographers' library."""

import gsw
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.problems import Problem
from app.core.water.oxygen import ATMOSPHERE_KPA, pressure_at, saturation_mg_per_l
from app.core.water.seawater import density_kg_per_m3
from tests.reference.published import Case, case, cases

O2_G_PER_MOL = 31.998


@pytest.mark.parametrize("reference", [c for c in cases(5) if c.id != "5.GG"], ids=lambda c: c.id)
def test_saturation_is_the_tables(reference: Case) -> None:
    given_ = reference.inputs
    oxygen = saturation_mg_per_l(given_["t_C"], given_["S"], given_["P_atm"] * ATMOSPHERE_KPA)
    assert oxygen == pytest.approx(reference.expected, abs=reference.tol)


def umol_per_kg(celsius: float, salinity: float) -> float:
    per_litre = saturation_mg_per_l(celsius, salinity) / O2_G_PER_MOL * 1000
    return per_litre / density_kg_per_m3(salinity, celsius) * 1000


def test_saturation_by_mass_is_the_published_check_value() -> None:
    reference = case("5.GG")
    oxygen = umol_per_kg(reference.inputs["t"], reference.inputs["S"])
    assert oxygen == pytest.approx(reference.expected, abs=reference.tol)


@given(st.floats(0, 35), st.floats(0, 40))
def test_saturation_agrees_with_a_library_everywhere(celsius: float, salinity: float) -> None:
    library = float(gsw.O2sol_SP_pt(salinity, celsius))
    assert umol_per_kg(celsius, salinity) == pytest.approx(library, rel=0.003)


@given(st.floats(0, 39), st.floats(0, 39), st.floats(51, 109))
def test_warmth_salt_and_height_take_oxygen_away(celsius: float, salinity: float, kpa: float) -> None:
    oxygen = saturation_mg_per_l(celsius, salinity, kpa)
    assert oxygen > saturation_mg_per_l(celsius + 1, salinity, kpa)
    assert oxygen > saturation_mg_per_l(celsius, salinity + 1, kpa)
    assert oxygen > saturation_mg_per_l(celsius, salinity, kpa - 1)


@pytest.mark.parametrize(
    ("values", "field", "words"),
    [
        ((77, 0, 101), "temperature_c", "°F"),
        ((25, 50, 101), "salinity_g_per_kg", "0 to 40"),
        ((25, 0, 1013), "pressure_kpa", "hPa or mbar"),
    ],
)
def test_impossible_values_are_refused_by_field(
    values: tuple[float, float, float], field: str, words: str
) -> None:
    with pytest.raises(Problem, match=words) as caught:
        saturation_mg_per_l(*values)
    assert caught.value.field == field


@pytest.mark.parametrize(("height_m", "kpa"), [(0, 101.325), (1000, 89.876), (2000, 79.501), (5000, 54.048)])
def test_pressure_falls_with_height_as_in_the_standard_atmosphere(height_m: float, kpa: float) -> None:
    # U.S. Standard Atmosphere 1976, table 1, by geometric height; from memory
    assert pressure_at(height_m) == pytest.approx(kpa, rel=8e-4)


def test_a_height_no_tank_stands_at_is_refused() -> None:
    with pytest.raises(Problem) as caught:
        pressure_at(9000)
    assert caught.value.field == "height_m"
