"""The un-ionised share agrees with the published tables."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.problems import Problem
from app.core.water.ammonia import as_nh3, pka, unionised_fraction, unionised_n
from tests.reference.published import Case, case, cases


@pytest.mark.parametrize("reference", cases(4, "4.PK"), ids=lambda c: c.id)
def test_the_acidity_constant_is_the_published_one(reference: Case) -> None:
    assert pka(reference.inputs["t_C"]) == pytest.approx(reference.expected, abs=reference.tol)


@pytest.mark.parametrize("reference", cases(4, "4.TAB"), ids=lambda c: c.id)
def test_the_share_is_the_tables(reference: Case) -> None:
    share = unionised_fraction(reference.inputs["pH"], reference.inputs["t_C"])
    assert share == pytest.approx(reference.expected, abs=reference.tol)


def test_the_whole_grid_is_the_published_one() -> None:
    reference = case("4.GRID")
    for ph, *row in reference.expected:
        shares = [100 * unionised_fraction(ph, t) for t in range(5, 31, 5)]
        assert shares == pytest.approx(row, abs=6e-5)  # printed to 4 decimals


def test_a_second_published_table_differs_by_little() -> None:
    reference = case("4.ALT")
    for (ph, t), percent in zip(reference.inputs["pH_t"], reference.expected, strict=True):
        assert 100 * unionised_fraction(ph, t) == pytest.approx(percent, rel=0.025)


def test_the_molecule_weighs_more_than_its_nitrogen() -> None:
    reference = case("4.MASS.2")
    given_ = reference.inputs
    nitrogen = unionised_n(given_["TAN_N"], given_["pH"], given_["t"])
    assert as_nh3(nitrogen) == pytest.approx(reference.expected, abs=reference.tol)
    assert nitrogen < as_nh3(nitrogen)


@given(st.floats(4, 10.9), st.floats(0, 44))
def test_the_share_rises_with_ph_and_with_warmth(ph: float, celsius: float) -> None:
    share = unionised_fraction(ph, celsius)
    assert 0 < share < unionised_fraction(ph + 0.1, celsius) < 1
    assert share < unionised_fraction(ph, celsius + 1)


@pytest.mark.parametrize(
    ("tan", "ph", "celsius", "field"),
    [(-1, 7, 25, "tan_mg_per_l"), (1, 3, 25, "ph"), (1, 14, 25, "ph"), (1, 7, 77, "temperature_c")],
)
def test_impossible_values_are_refused_by_field(tan: float, ph: float, celsius: float, field: str) -> None:
    with pytest.raises(Problem) as caught:
        unionised_n(tan, ph, celsius)
    assert caught.value.field == field
