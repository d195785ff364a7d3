"""Formulas are read by their atoms and weighed."""

import pytest

from app.core.problems import Problem
from app.core.water.atoms import atoms, molar_mass
from tests.reference.published import case


def test_molar_masses_are_the_published_ones() -> None:
    reference = case("3.MM.1")
    for formula, mass in zip(
        ("CaCO3", "CaO", "CaSO4.2H2O", "CaCl2", "CaCl2.2H2O"), reference.expected, strict=True
    ):
        assert molar_mass(formula) == pytest.approx(mass, abs=reference.tol)


@pytest.mark.parametrize(
    "formula", ["CaCl2·2H2O", "CaCl2.2H2O", "CaCl2*2H2O", "CaCl₂ · 2 H₂O", "CaCl2 2H2O", "CaCl2(H2O)2"]
)
def test_a_hydrate_is_the_same_however_it_is_written(formula: str) -> None:
    assert atoms(formula) == {"Ca": 1, "Cl": 2, "H": 4, "O": 2}


def test_nested_brackets_multiply() -> None:
    assert atoms("Mg[Ca(HCO3)2]3") == {"Mg": 1, "Ca": 3, "H": 6, "C": 6, "O": 18}


@pytest.mark.parametrize(
    ("formula", "words"),
    [
        ("", "not a formula"),
        ("cacl2", "not a formula"),
        ("Ca(OH", "left open"),
        ("CaOH)2", "never opened"),
        ("Xx2", "not in the table"),
        ("CaCl2.", "not a formula"),
        ("2", "not a formula"),
    ],
)
def test_what_is_no_formula_is_refused(formula: str, words: str) -> None:
    with pytest.raises(Problem, match=words):
        atoms(formula)
