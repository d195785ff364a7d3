"""Proper scores and coverage tests against published closed forms."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest

from app.core.problems import Problem
from app.core.scoring import (
    Shown,
    coverage,
    crps,
    hindcast,
    interval_score,
    log_score,
    pinball,
    pit,
    skill,
)
from app.core.stats.distributions import LogNormal, Normal, Table
from app.core.windows import Window
from tests.reference.published import Case, case, cases

MAY = date(2026, 5, 1)


@pytest.mark.parametrize("published", [c for c in cases(11, "11.CRPSN") if c.inputs], ids=lambda c: c.id)
def test_crps_of_a_normal(published: Case) -> None:
    i = published.inputs
    assert crps(Normal(i["mu"], i["sigma"]), i["y"]) == pytest.approx(published.expected, abs=published.tol)


def test_crps_of_a_standard_normal_at_its_mean() -> None:
    published = case("11.CRPSN.0")
    assert crps(Normal(0, 1), 0) == pytest.approx(published.expected, abs=published.tol)


@pytest.mark.parametrize("published", cases(11, "11.CRPSLN"), ids=lambda c: c.id)
def test_crps_of_a_log_normal(published: Case) -> None:
    i = published.inputs
    found = crps(LogNormal(i["mu"], i["sigma"]), i["y"])
    assert found == pytest.approx(published.expected, abs=published.tol)


def test_expected_crps_of_a_perfect_normal() -> None:
    published = case("11.CRPS.E")
    sd = published.inputs["sigma"]
    y = Normal(0, sd)
    at = [y.quantile((i + 0.5) / 20000) for i in range(20000)]
    assert np.mean([crps(y, v) for v in at]) == pytest.approx(published.expected, abs=1e-4)


@pytest.mark.parametrize("published", cases(11, "11.IS"), ids=lambda c: c.id)
def test_interval_score(published: Case) -> None:
    i = published.inputs
    assert interval_score(i["l"], i["u"], i["alpha"], i["y"]) == pytest.approx(published.expected)


def test_pinball_loss() -> None:
    assert [pinball(0.9, 32, 30), pinball(0.9, 32, 35)] == pytest.approx(case("11.PIN").expected)


def test_log_score() -> None:
    published = case("11.LOG")
    assert log_score(Normal(28, 2), 31) == pytest.approx(published.expected, abs=published.tol)


def test_pit_values() -> None:
    published = case("11.PIT")
    found = [pit(Normal(28, 2), y) for y in (28, 30, 25)]
    assert found == pytest.approx(published.expected, abs=published.tol)


@pytest.mark.parametrize("published", cases(11, "11.COV"), ids=lambda c: c.id)
def test_coverage_exact_and_kupiec(published: Case) -> None:
    i = published.inputs
    found = coverage(i["hits"], i["n"], i["nominal"])
    assert [found.rate, found.p_value, found.kupiec] == pytest.approx(published.expected, abs=published.tol)


def test_skill() -> None:
    published = case("11.SKILL")
    assert skill(published.inputs["crps"], published.inputs["ref"]) == pytest.approx(published.expected)


def test_every_case_of_the_topic_is_covered() -> None:
    assert {c.id.split(".")[1] for c in cases(11)} == {
        "CRPSN", "CRPSLN", "CRPS", "IS", "PIN", "LOG", "PIT", "COV", "SKILL",
    }  # fmt: skip


@given(st.integers(1, 60), st.integers(0, 60), st.floats(0.05, 0.95))
def test_coverage_p_value_agrees_with_scipy(n: int, hits: int, nominal: float) -> None:
    if hits <= n:
        assert coverage(hits, n, nominal).p_value == pytest.approx(
            binomtest(hits, n, nominal).pvalue, abs=1e-9
        )


@given(st.floats(-3, 3), st.floats(0.5, 3), st.floats(-4, 4))
def test_crps_of_a_fine_table_is_that_of_its_normal(mean: float, sd: float, outcome: float) -> None:
    f = Normal(mean, sd)
    x = mean + sd * np.linspace(-8.013, 8.013, 4001)
    table = Table(x.tolist(), [f.cdf(v) for v in x])
    assert crps(table, outcome) == pytest.approx(crps(f, outcome), abs=1e-4)


@given(st.lists(st.integers(0, 40), min_size=1, max_size=30), st.integers(-5, 50))
def test_crps_of_whole_days_is_that_of_their_sample(days: list[int], outcome: int) -> None:
    # Gneiting & Raftery 2007, eq. 20: E|X - y| - E|X - X'| / 2
    x = sorted(set(days))
    table = Table(x, [sum(d <= v for d in days) / len(days) for v in x])
    a = np.array(days)
    expected = np.abs(a - outcome).mean() - np.abs(a[:, None] - a).mean() / 2
    assert crps(table, outcome) == pytest.approx(expected, abs=1e-9)


def test_crps_below_zero_of_a_log_normal_continues_the_formula() -> None:
    assert crps(LogNormal(0, 1), 0) == pytest.approx(crps(LogNormal(0, 1), 1e-9), abs=1e-6)


def shown(outcome: int, naive: int = 26) -> Shown:
    days = tuple((MAY + timedelta(20 + d), min((d + 1) / 10, 1.0)) for d in range(10))
    window = Window(MAY + timedelta(20), MAY + timedelta(28))
    return Shown(
        days, window, Window(MAY + timedelta(20), MAY + timedelta(29), 0.95), MAY + timedelta(24),
        MAY + timedelta(naive), MAY + timedelta(outcome),
    )  # fmt: skip


def test_a_hindcast_sums_up_hits_errors_and_widths() -> None:
    found = hindcast([shown(24), shown(29), shown(31)])
    assert found.n == 3
    assert found.mean_error == pytest.approx((0 + 5 + 7) / 3)
    assert found.naive_error == pytest.approx((2 + 3 + 5) / 3)
    assert (found.coverage_80.rate, found.coverage_95.rate) == pytest.approx((1 / 3, 2 / 3))
    assert found.mean_width_80 == 9
    assert found.pit == pytest.approx((0.45, 0.95, 1.0))
    assert found.skill == pytest.approx(1 - found.mean_crps / found.naive_error)


def test_a_rule_that_never_misses_leaves_no_skill_to_state() -> None:
    assert hindcast([shown(26)]).skill is None


def test_nothing_to_score_is_refused() -> None:
    with pytest.raises(Problem, match="no forecast has an outcome yet"):
        hindcast([])


@pytest.mark.parametrize(("hits", "n"), [(1, 0), (3, 2), (-1, 2)])
def test_impossible_hits_are_refused(hits: int, n: int) -> None:
    with pytest.raises(Problem, match="of at least one forecast"):
        coverage(hits, n, 0.8)


def test_a_reference_without_error_is_refused() -> None:
    with pytest.raises(Problem, match="no error to compare"):
        skill(1.0, 0.0)
