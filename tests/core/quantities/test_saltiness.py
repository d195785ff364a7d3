"""Typed salinities become grams per litre."""

import re

import pytest

from app.core.problems import Problem
from app.core.quantities import parse_salinity
from tests.reference.published import case


@pytest.mark.parametrize(("text", "grams"), [("3 g/L", 3.0), ("0", 0.0), ("2,5", 2.5), ("3000 mg/L", 3.0)])
def test_weights_per_litre_are_taken_as_they_stand(text: str, grams: float) -> None:
    assert parse_salinity(text) == grams


@pytest.mark.parametrize("text", ["SG 1.005", "1.005 SG", "sg1.005", "1,005 sg", "s.g. 1.005"])
def test_a_hydrometers_figure_goes_through_the_density(text: str) -> None:
    reference = case("1.SGINV.2")
    g_per_kg = parse_salinity(text) / 1.00202  # kg per litre at that salinity and 25 °C
    assert g_per_kg == pytest.approx(reference.expected, abs=reference.tol)


def test_parts_per_thousand_differ_from_grams_per_litre_by_the_density() -> None:
    assert parse_salinity("2 ppt") == pytest.approx(2.0, rel=0.002)
    assert parse_salinity("35 ‰") == pytest.approx(35 * 1.02334, rel=1e-4)


def test_a_bare_specific_gravity_is_asked_about() -> None:
    with pytest.raises(Problem, match=re.escape("1.003 looks like a specific gravity; type SG 1.003")):
        parse_salinity("1.003")


@pytest.mark.parametrize("text", ["SG 0.9", "SG 35", "-2 g/L", "77 ppt", "400", "2 spoons", "salty", ""])
def test_what_cannot_be_a_salinity_is_refused(text: str) -> None:
    with pytest.raises(Problem):
        parse_salinity(text)


def test_the_hydrometers_reference_may_differ_from_the_waters_temperature() -> None:
    told = case("1.SG.2")
    grams = parse_salinity(f"SG {told.expected}", told.inputs["tref90_C"], water_c=told.inputs["t90_C"])
    assert grams == pytest.approx(told.inputs["S"] * 1.02334, abs=0.05)  # a litre weighs 1.02334 kg


@pytest.mark.parametrize(
    ("text", "grams"),
    [("1 tbsp/gal", 18 / 3.785411784), ("1 tbsp per 2 gal", 18 / 7.570823568), ("2 tsp in 10 L", 1.2)],
)
def test_salt_by_the_spoon_is_read_as_aquarists_say_it(text: str, grams: float) -> None:
    """18 g of table salt to the tablespoon (common practice, no source); the US gallon is 3.785411784 L."""
    assert parse_salinity(text) == pytest.approx(grams)


@pytest.mark.parametrize("text", ["1 tbsp", "1 tbsp per", "tbsp/gal", "1 tbsp per fish"])
def test_a_spoon_without_its_water_is_refused(text: str) -> None:
    with pytest.raises(Problem):
        parse_salinity(text)
