"""Shown amounts are short, in the keeper's units, and read back as what they were."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.quantities import (
    Units,
    parse_hardness,
    parse_length,
    parse_mass,
    parse_salinity,
    parse_temperature,
    parse_volume,
    show_hardness,
    show_length,
    show_mass,
    show_salinity,
    show_share,
    show_temperature,
    show_volume,
)

ANY_UNITS = st.sampled_from(Units)


def test_amounts_are_short_and_in_the_keepers_units() -> None:
    assert show_volume(37.85411784, Units.US) == "10 US gal"
    assert show_volume(45.4609, Units.IMPERIAL) == "10 imp gal"
    assert show_volume(37.85411784) == "37.9 L"
    assert show_volume(0.25) == "250 mL"
    assert show_length(7.62, Units.US) == "0.3 in"
    assert show_length(7.5) == "7.5 mm"
    assert show_temperature(24.5) == "24.5 °C"
    assert show_temperature(24.444444, Units.US) == "76 °F"
    assert show_temperature(24.5, Units.IMPERIAL) == "24.5 °C"
    assert show_mass(5) == "5 g"
    assert show_mass(1250) == "1.25 kg"
    assert show_salinity(2.4) == "2.4 g/L"
    assert show_hardness(8) == "8 °dH"
    assert show_hardness(8, Units.US) == "8 °dH (143 ppm)"
    assert show_share(0.333) == "33.3 %"


def test_nothing_is_shown_without_a_minus() -> None:
    assert show_temperature(-0.01) == "0 °C"
    assert show_salinity(0.0) == "0 g/L"


@given(st.floats(0.5, 5000), ANY_UNITS)
def test_a_shown_volume_reads_back(litres: float, units: Units) -> None:
    assert parse_volume(show_volume(litres, units), units) == pytest.approx(litres, rel=0.05)


@given(st.floats(2, 300), ANY_UNITS)
def test_a_shown_length_reads_back(mm: float, units: Units) -> None:
    assert parse_length(show_length(mm, units), units) == pytest.approx(mm, rel=0.05, abs=0.13)


@given(st.floats(0.1, 45), ANY_UNITS)
def test_a_shown_temperature_reads_back(celsius: float, units: Units) -> None:
    assert parse_temperature(show_temperature(celsius, units), units) == pytest.approx(celsius, abs=0.051)


@given(st.floats(0.1, 40))
def test_shown_masses_salinities_and_hardnesses_read_back(amount: float) -> None:
    assert parse_mass(show_mass(amount)) == pytest.approx(amount, rel=0.05)
    assert parse_salinity(show_salinity(amount)) == pytest.approx(amount, abs=0.051)
    assert parse_hardness(show_hardness(amount)) == pytest.approx(amount, abs=0.051)
