"""Counts are tested as Mendel's were, exactly where every outcome can be listed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from app.core.problems import Problem
from app.core.traits.fit import Group, chi_square, differs_by_sex, exact, fits
from tests.reference.published import Case, case, cases

THREE_TO_ONE = (0.75, 0.25)


@pytest.mark.parametrize("reference", cases(9, "9.MEN"), ids=lambda c: c.id)
def test_mendels_single_traits_fit_as_published(reference: Case) -> None:
    group = [Group(tuple(reference.inputs["obs"]), THREE_TO_ONE)]
    found = chi_square(group)
    ratio = group[0].counts[0] / group[0].counts[1]
    values = [ratio, found.statistic, found.p_value, exact(group)]
    assert values == pytest.approx(reference.expected, abs=reference.tol)
    assert found.degrees == 1


def test_mendels_two_traits_fit_as_published() -> None:
    reference = case("9.DIH.1")
    found = chi_square([Group(tuple(reference.inputs["obs"]), (9 / 16, 3 / 16, 3 / 16, 1 / 16))])
    assert [found.statistic, found.p_value] == pytest.approx(reference.expected, abs=reference.tol)


def test_the_exact_multinomial_is_the_published_one() -> None:
    reference = case("9.MULT.1")
    ratio = reference.inputs["ratio"]
    fractions = tuple(part / sum(ratio) for part in ratio)
    found = exact([Group(tuple(reference.inputs["obs"]), fractions)])
    assert found == pytest.approx(reference.expected, abs=reference.tol)


def test_the_lady_and_her_tea_come_out_as_published() -> None:
    reference = case("9.FISH.1")
    found = [differs_by_sex((4, 0), (0, 4))[0], differs_by_sex((3, 1), (1, 3))[0]]
    assert found == pytest.approx(reference.expected, abs=reference.tol)


@given(st.integers(0, 60), st.integers(0, 60), st.floats(0.05, 0.95))
def test_two_categories_agree_with_a_library_binomial(one: int, other: int, share: float) -> None:
    if one + other == 0:
        return
    library = stats.binomtest(one, one + other, share).pvalue
    assert exact([Group((one, other), (share, 1 - share))]) == pytest.approx(library, rel=1e-5, abs=1e-9)


@given(st.tuples(*[st.integers(0, 25)] * 4))
def test_fishers_test_agrees_with_a_library(table: tuple[int, int, int, int]) -> None:
    rows = (table[0], table[1]), (table[2], table[3])
    if sum(table) == 0:
        return
    greater = stats.fisher_exact(rows, alternative="greater").pvalue
    two_sided = stats.fisher_exact(rows).pvalue
    assert differs_by_sex(*rows) == pytest.approx((greater, two_sided), abs=1e-7)


@given(st.lists(st.integers(1, 200), min_size=2, max_size=5))
def test_chi_square_agrees_with_a_library(counts: list[int]) -> None:
    found = chi_square([Group(tuple(counts), (1 / len(counts),) * len(counts))])
    library = stats.chisquare(counts)
    assert (found.statistic, found.p_value) == pytest.approx((library.statistic, library.pvalue))


def test_a_small_count_is_tested_exactly_and_a_large_one_by_chi_square() -> None:
    small = fits([Group((30, 8), THREE_TO_ONE)])
    assert (small.method, small.why) == ("exact multinomial", "all 39 possible counts were listed")
    large = fits([Group((315, 101, 108, 32), (9 / 16, 3 / 16, 3 / 16, 1 / 16))])
    assert large.method == "chi-square"
    assert "too many to list" in large.why
    thin = fits([Group((300, 3, 3, 3, 3), (0.96, 0.01, 0.01, 0.01, 0.01))])
    assert thin.why.endswith("though an expected count is only 3.1")


def test_a_phenotype_the_cross_cannot_give_is_impossible() -> None:
    assert fits([Group((10, 1), (1.0, 0.0))]).method == "impossible"
    assert fits([Group((10, 0), (1.0, 0.0))]).p_value == 1.0


def test_sexes_are_tested_together_with_their_totals_given() -> None:
    sons, daughters = Group((9, 3), THREE_TO_ONE), Group((10, 2), THREE_TO_ONE)
    both = fits([sons, daughters])
    assert both.p_value > max(0.3, exact([sons]) * exact([daughters]))
    assert chi_square([sons, daughters]).degrees == 2
    assert fits([sons, Group((0, 0), THREE_TO_ONE)]).p_value == pytest.approx(exact([sons]))


def test_one_fish_can_be_tested_and_none_cannot() -> None:
    assert fits([Group((1, 0), THREE_TO_ONE)]).p_value == pytest.approx(1.0)
    assert fits([Group((0, 1), THREE_TO_ONE)]).p_value == pytest.approx(0.25)
    with pytest.raises(Problem, match="nothing was counted"):
        fits([Group((0, 0), THREE_TO_ONE)])
    with pytest.raises(Problem, match="below zero"):
        fits([Group((-1, 2), THREE_TO_ONE)])
    with pytest.raises(Problem, match="below zero"):
        differs_by_sex((-1, 2), (0, 0))
