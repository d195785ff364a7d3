"""Hardness follows the formula; blends follow the volume."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.problems import Problem
from app.core.water.hardness import (
    Label,
    Water,
    blend,
    gh_from_ions,
    grams_for,
    rise,
    rise_by_label,
    share_of_soft,
)
from app.core.water.units import MG_L_CACO3_PER_DH
from tests.reference.published import Case, case, cases

SALTS = (
    "CaSO4·2H2O",
    "CaCl2",
    "CaCl2·2H2O",
    "MgSO4·7H2O",
    "NaHCO3",
    "KHCO3",
    "CaCO3",
    "Na2CO3",
    "MgCl2·6H2O",
)


@pytest.mark.parametrize("reference", cases(3, "3.GH"), ids=lambda c: c.id)
def test_general_hardness_rises_as_published(reference: Case) -> None:
    given_ = reference.inputs
    risen = rise(given_["salt"].split()[0], given_["g"], given_["L"])
    assert [risen.gh_mg_per_l, risen.gh_dh] == pytest.approx(reference.expected, abs=reference.tol)


@pytest.mark.parametrize("reference", [case("3.KH.1"), case("3.KH.3")], ids=lambda c: c.id)
def test_carbonate_hardness_rises_as_published(reference: Case) -> None:
    given_ = reference.inputs
    risen = rise(given_["salt"].split()[0], given_["g"], given_["L"])
    assert [risen.kh_mg_per_l, risen.kh_dh] == pytest.approx(reference.expected, abs=reference.tol)


def test_the_grams_for_a_rise_are_the_published_ones() -> None:
    reference = case("3.KH.4")
    grams = grams_for("NaHCO3", reference.inputs["L"], kh_dh=reference.inputs["dKH"])
    assert grams == pytest.approx(reference.expected, abs=reference.tol)


def test_hardness_from_ions_is_the_published_one() -> None:
    reference = case("3.MIX.1")
    degrees = gh_from_ions(reference.inputs["Ca"], reference.inputs["Mg"])
    assert degrees * MG_L_CACO3_PER_DH == pytest.approx(reference.expected, abs=reference.tol)


def test_the_share_of_soft_water_is_the_published_one() -> None:
    reference = case("3.MIX.2")
    given_ = reference.inputs
    share = share_of_soft(given_["tap"], given_["ro"], given_["target"])
    assert share == pytest.approx(reference.expected, abs=reference.tol)
    mixed = blend([Water(share, given_["ro"], 0), Water(1 - share, given_["tap"], 0)])
    assert mixed.gh_dh == pytest.approx(given_["target"])


def test_chlorides_and_sulphates_leave_carbonate_hardness_alone() -> None:
    for formula in ("CaCl2", "CaCl2.2H2O", "MgSO4·7H2O", "CaSO4·2H2O", "NaCl", "K2SO4"):
        assert rise(formula, 5, 100).kh_dh == 0
    assert rise("NaHCO3", 5, 100).gh_dh == 0


def test_a_hydrate_raises_less_than_the_same_mass_dry() -> None:
    ratio = rise("CaCl2·2H2O", 1, 100).gh_dh / rise("CaCl2", 1, 100).gh_dh
    assert ratio == pytest.approx(110.978 / 147.008, rel=1e-4)
    assert rise("CaCl2.2H2O", 1, 100) == rise("CaCl2·2H2O", 1, 100)


@given(st.sampled_from(SALTS), st.floats(0.1, 100), st.floats(1, 1000), st.floats(0.1, 10))
def test_a_rise_is_in_proportion(formula: str, grams: float, litres: float, times: float) -> None:
    one, more = rise(formula, grams, litres), rise(formula, grams * times, litres)
    diluted = rise(formula, grams, litres * times)
    assert (more.gh_dh, more.kh_dh) == pytest.approx((one.gh_dh * times, one.kh_dh * times))
    assert (diluted.gh_dh, diluted.kh_dh) == pytest.approx((one.gh_dh / times, one.kh_dh / times))


@given(st.sampled_from(["CaSO4·2H2O", "MgSO4·7H2O"]), st.floats(1, 1000), st.floats(0, 30))
def test_grams_for_a_rise_raise_it(formula: str, litres: float, degrees: float) -> None:
    assert rise(formula, grams_for(formula, litres, gh_dh=degrees), litres).gh_dh == pytest.approx(degrees)


def test_a_label_goes_in_proportion() -> None:
    risen = rise_by_label(Label(grams=15, litres=100, gh_dh=6, kh_dh=3), grams=5, litres=50)
    assert (risen.gh_dh, risen.kh_dh) == pytest.approx((4.0, 2.0))


@pytest.mark.parametrize(
    "formula", ["Ca(OH)2", "HCl", "NaOH", "Na2S2O3", "Ca(CH3COO)2", "CaO", "H2O", "NaNO3", "NaHCO", "NaS"]
)
def test_a_formula_that_is_no_such_salt_is_refused(formula: str) -> None:
    with pytest.raises(Problem, match="no mineral salt reckoned here"):
        rise(formula, 1, 100)


def test_impossible_amounts_are_refused() -> None:
    with pytest.raises(Problem, match="below zero"):
        rise("CaCl2", -1, 100)
    with pytest.raises(Problem, match="above 0"):
        rise("CaCl2", 1, 0)
    with pytest.raises(Problem, match="does not raise that"):
        grams_for("NaCl", 100, gh_dh=5)
    with pytest.raises(Problem, match="exactly one"):
        grams_for("CaCl2", 100)
    with pytest.raises(Problem, match="give a target that is"):
        share_of_soft(16, 0, 20)
