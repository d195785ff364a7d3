"""Sex ratios against published intervals and a general-purpose library."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest
from statsmodels.stats.proportion import proportion_confint

from app.core.problems import Problem
from app.core.sex_ratio import Share, clopper_pearson, exact_p, jeffreys, sex_ratio, wilson
from tests.reference.published import Case, case, cases


def ends(share: Share) -> list[float]:
    return [share.low, share.high]


@pytest.mark.parametrize("published", [case("9.CI.1"), case("9.CI.3")], ids=lambda c: c.id)
def test_intervals_of_a_share_match_newcombe(published: Case) -> None:
    x, n = published.inputs["x"], published.inputs["n"]
    found = ends(wilson(x, n)) + ends(clopper_pearson(x, n))
    assert found == pytest.approx(published.expected, abs=published.tol)


def test_the_rule_of_three_bounds_what_was_never_seen() -> None:
    published = case("9.CI.5")
    n = published.inputs["n"]
    assert [clopper_pearson(0, n, 0.90).high, 3 / n] == pytest.approx(published.expected, abs=published.tol)


@pytest.mark.parametrize("published", [case("9.SEX.1"), case("9.SEX.3")], ids=lambda c: c.id)
def test_exact_sex_ratio(published: Case) -> None:
    m, n = published.inputs["males"], published.inputs["n"]
    ratio = sex_ratio(m, n - m)
    found = [ratio.p_value, *ends(ratio.interval_95), *ends(wilson(m, n))]
    assert found == pytest.approx(published.expected, abs=published.tol)


def test_jeffreys_interval() -> None:
    published = case("9.SEX.5")
    found = ends(jeffreys(published.inputs["x"], published.inputs["n"]))
    assert found == pytest.approx(published.expected, abs=published.tol)


def test_every_sex_case_is_covered() -> None:
    assert {c.id for c in cases(9, "9.CI") + cases(9, "9.SEX")} == {
        "9.CI.1", "9.CI.3", "9.CI.5", "9.SEX.1", "9.SEX.3", "9.SEX.5",
    }  # fmt: skip


@given(st.integers(0, 60), st.integers(0, 60))
def test_intervals_agree_with_statsmodels(m: int, f: int) -> None:
    n = m + f
    if n:
        for ours, name in ((clopper_pearson, "beta"), (wilson, "wilson")):
            assert ends(ours(m, n)) == pytest.approx(proportion_confint(m, n, 0.05, name), abs=1e-9)
        assert exact_p(m, n) == pytest.approx(binomtest(m, n).pvalue, abs=1e-12)


@given(st.integers(0, 50), st.integers(0, 50))
def test_males_and_females_are_treated_alike(m: int, f: int) -> None:
    if m + f:
        one, other = sex_ratio(m, f), sex_ratio(f, m)
        assert one.p_value == pytest.approx(other.p_value)
        assert one.interval_95.low == pytest.approx(1 - other.interval_95.high)
        assert one.expected == pytest.approx(1 - other.expected)


def test_a_small_brood_leans_on_half_and_half() -> None:
    assert sex_ratio(6, 0).expected == pytest.approx(16 / 26)
    assert sex_ratio(6, 0).p_value == pytest.approx(0.03125)


@pytest.mark.parametrize(
    ("males", "females", "says"),
    [(-1, 3, "-1 males can't be"), (3, -2, "-2 females can't be"), (0, 0, "no fish were counted")],
)
def test_impossible_counts_are_refused(males: int, females: int, says: str) -> None:
    with pytest.raises(Problem, match=says):
        sex_ratio(males, females)
