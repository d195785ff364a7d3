"""Density agrees with UNESCO's check values and with the TEOS-10 library."""

from collections.abc import Callable

import gsw
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.problems import Problem
from app.core.water.seawater import (
    density_kg_per_m3,
    eos80,
    grams_per_litre,
    salinity_from_grams,
    salinity_from_gravity,
    specific_gravity,
)
from tests.reference.published import Case, case, cases

SALINITIES, DEGREES = st.floats(0.1, 41), st.floats(0, 35)


@pytest.mark.parametrize("reference", cases(1, "1.EOS80"), ids=lambda c: c.id)
def test_density_is_unescos(reference: Case) -> None:
    density = eos80(reference.inputs["S"], reference.inputs["t68_C"])
    assert density == pytest.approx(reference.expected, abs=reference.tol)


@pytest.mark.parametrize("reference", cases(1, "1.SG."), ids=lambda c: c.id)
def test_specific_gravity_states_its_reference(reference: Case) -> None:
    given_ = reference.inputs
    gravity = specific_gravity(given_["S"], given_["t90_C"], given_["tref90_C"])
    assert gravity == pytest.approx(reference.expected, abs=reference.tol)


def test_salinity_comes_back_from_a_published_gravity() -> None:
    reference = case("1.SGINV.2")
    given_ = reference.inputs
    salinity = salinity_from_gravity(given_["SG"], given_["t_C"], given_["tref_C"])
    assert salinity == pytest.approx(reference.expected, abs=reference.tol)


def test_the_reference_library_gives_its_own_published_values() -> None:
    ratio = case("1.TEOS.1")
    assert float(gsw.SR_from_SP(ratio.inputs["SP"])) == pytest.approx(ratio.expected, abs=ratio.tol)
    example = case("1.TEOS.5")
    at = example.inputs
    assert list(gsw.rho(at["SA"], at["CT"], at["p"])) == pytest.approx(example.expected, abs=example.tol)


@pytest.mark.parametrize("reference", [case("1.TEOS.2"), case("1.TEOS.4")], ids=lambda c: c.id)
def test_density_agrees_with_published_teos10(reference: Case) -> None:
    practical = reference.inputs["SR_g_kg"] * 35 / 35.16504
    density = density_kg_per_m3(practical, reference.inputs["t90_C"])
    assert density == pytest.approx(reference.expected, abs=0.02)  # how far the two equations differ


@given(SALINITIES, DEGREES)
def test_density_agrees_with_teos10_everywhere(salinity: float, celsius: float) -> None:
    absolute = float(gsw.SR_from_SP(salinity))
    teos = float(gsw.rho(absolute, gsw.CT_from_t(absolute, celsius, 0.0), 0.0))
    assert density_kg_per_m3(salinity, celsius) == pytest.approx(teos, abs=0.03)


@given(SALINITIES, DEGREES, st.sampled_from([4.0, 15.0, 20.0, 25.0]))
def test_salinity_from_gravity_undoes_gravity(salinity: float, celsius: float, reference_c: float) -> None:
    gravity = specific_gravity(salinity, celsius, reference_c)
    assert salinity_from_gravity(gravity, celsius, reference_c) == pytest.approx(salinity, abs=1e-6)


def test_grams_per_litre_carry_the_density() -> None:
    assert grams_per_litre(35, 25) == pytest.approx(35 * 1.023343, rel=1e-5)  # kg/L, TEOS-10


@given(st.floats(0, 42), DEGREES)
def test_salinity_from_grams_undoes_grams_per_litre(g_per_l: float, celsius: float) -> None:
    salinity = salinity_from_grams(g_per_l, celsius)
    assert grams_per_litre(salinity, celsius) == pytest.approx(g_per_l, abs=1e-9)


@pytest.mark.parametrize(
    ("call", "values", "field"),
    [
        (density_kg_per_m3, (50, 25), "salinity_g_per_kg"),
        (density_kg_per_m3, (5, 77), "temperature_c"),
        (specific_gravity, (5, 25, 77), "reference_c"),
        (salinity_from_gravity, (1.2, 25, 25), "specific_gravity"),
        (salinity_from_gravity, (0.99, 25, 25), "specific_gravity"),
    ],
)
def test_values_outside_the_equation_are_refused_by_field(
    call: Callable[..., float], values: tuple[float, ...], field: str
) -> None:
    with pytest.raises(Problem) as caught:
        call(*values)
    assert caught.value.field == field


def test_a_temperature_in_fahrenheit_is_asked_about() -> None:
    with pytest.raises(Problem, match=r"77 °C \(°F\?\)"):
        density_kg_per_m3(5, 77)
