"""Distributions against published values and scipy."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from app.core.problems import Problem
from app.core.stats.distributions import LogNormal, Normal, Table, randomised
from tests.reference.published import Case, cases


@pytest.mark.parametrize("published", cases(13, "13.LN"), ids=lambda c: c.id)
def test_log_normal_summaries(published: Case) -> None:
    f = LogNormal(published.inputs["mu"], published.inputs["sigma"])
    found = [f.median, f.mean, f.mode, f.sd, f.quantile(0.05), f.quantile(0.95)]
    assert found == pytest.approx(published.expected, abs=published.tol)


@given(st.floats(-50, 50), st.floats(0.1, 20), st.floats(0.001, 0.999))
def test_normal_agrees_with_scipy(mean: float, sd: float, level: float) -> None:
    f, reference = Normal(mean, sd), stats.norm(mean, sd)
    x = f.quantile(level)
    assert x == pytest.approx(reference.ppf(level), abs=1e-9)
    assert f.cdf(x) == pytest.approx(level)
    assert f.log_density(x) == pytest.approx(reference.logpdf(x))


@given(st.floats(-2, 5), st.floats(0.05, 1.5), st.floats(0.01, 200))
def test_log_normal_agrees_with_scipy(mu: float, sigma: float, x: float) -> None:
    reference = stats.lognorm(sigma, scale=LogNormal(mu, 0).median)
    assert LogNormal(mu, sigma).cdf(x) == pytest.approx(reference.cdf(x), abs=1e-12)


def test_nothing_lies_below_zero_in_a_log_normal() -> None:
    assert LogNormal(0, 1).cdf(-1) == 0


def test_whole_numbers_make_a_staircase() -> None:
    table = Table([10, 11, 12], [0.2, 0.7, 1.0])
    assert [table.cdf(x) for x in (9.9, 10, 10.9, 11, 12, 40)] == [0, 0.2, 0.2, 0.7, 1, 1]
    assert [table.below(x) for x in (10, 11, 12, 13)] == [0, 0.2, 0.7, 1.0]
    assert [table.quantile(p) for p in (0.1, 0.2, 0.21, 0.99)] == [10, 10, 11, 12]


def test_other_numbers_are_joined_by_lines() -> None:
    table = Table([0, 0.5, 2], [0.0, 0.5, 1.0])
    assert table.cdf(0.25) == pytest.approx(0.25)
    assert table.below(0.25) == pytest.approx(0.25)
    assert table.quantile(0.75) == pytest.approx(1.25)


def test_what_is_missing_sits_at_the_end() -> None:
    assert Table([1, 2], [0.5, 0.95]).cdf(2) == 1.0


@pytest.mark.parametrize(
    ("x", "p", "message"),
    [
        ([], [], "empty table"),
        ([1, 1], [0.1, 1], "x must rise"),
        ([2, 1], [0.1, 1], "x must rise"),
        ([1, 2], [0.6, 0.5], "never fall"),
        ([1, 2], [0.6, 1.5], "lie in 0 to 1"),
        ([1, 2], [0.1, 0.5], "carry the table on"),
    ],
)
def test_an_impossible_table_is_refused(x: list[float], p: list[float], message: str) -> None:
    with pytest.raises(Problem, match=message):
        Table(x, p)


def test_a_randomised_pit_lies_in_its_step() -> None:
    assert [randomised(0.2, 0.6, u) for u in (0, 0.5, 1)] == pytest.approx([0.2, 0.4, 0.6])
