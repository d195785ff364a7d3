"""Closed-form pooling against textbooks."""

from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.problems import Problem
from app.core.stats.distributions import Normal
from app.core.stats.pooling import (
    MeanAndVariance,
    Pooled,
    Share,
    complete_pooling,
    heterogeneity,
    normal_update,
)
from tests.reference.published import Case, case, cases


def test_students_weights_of_bayesian_data_analysis() -> None:
    published = case("13.BDA28.1")
    i = published.inputs
    mean, sd = i["prior"]
    post = normal_update(Pooled(mean, sd**2), i["ybar"], i["sigma"], i["n"])
    own, new = Normal(post.mean, post.sd), Normal(post.mean, sqrt(post.variance + i["sigma"] ** 2))
    found = [post.mean, post.sd, own.quantile(0.025), own.quantile(0.975)]
    found += [new.quantile(0.025), new.quantile(0.975)]
    assert found == pytest.approx(published.expected, abs=published.tol)


@pytest.mark.parametrize("published", cases(13, "13.NN"), ids=lambda c: c.id)
def test_conjugate_normal(published: Case) -> None:
    i = published.inputs
    post = normal_update(Pooled(i["m0"], i["s0"] ** 2), i["ybar"], i["sigma"], i["n"])
    found = [post.mean, post.sd, sqrt(post.variance + i["sigma"] ** 2)]
    assert found == pytest.approx(published.expected, abs=published.tol)


def test_eight_schools_pooled_completely() -> None:
    published = case("13.ES.1")
    pooled = complete_pooling(published.inputs["y"], published.inputs["sigma"])
    assert [pooled.mean, pooled.variance, pooled.sd] == pytest.approx(published.expected, abs=published.tol)


def test_eight_schools_show_no_heterogeneity() -> None:
    published = case("13.ES.3")
    found = heterogeneity(published.inputs["y"], published.inputs["sigma"])
    assert list(found) == pytest.approx(published.expected, abs=published.tol)


def test_midge_wings_of_hoff() -> None:
    published = case("13.HOFF")
    i, y = published.inputs, published.inputs["y"]
    n = len(y)
    mean = sum(y) / n
    post = MeanAndVariance(i["mu0"], i["k0"], i["s0_2"], i["nu0"]).update(y)
    found = [mean, sum((v - mean) ** 2 for v in y) / (n - 1), post.mean, post.variance]
    assert found == pytest.approx(published.expected, abs=published.tol)


def test_fourteen_of_twenty() -> None:
    published = case("13.BETA")
    post = Share(1, 1).update(14, 6)
    found = [post.mean, post.sd, *post.interval()]
    assert found == pytest.approx(published.expected, abs=published.tol)


def test_placenta_praevia_births() -> None:
    published = case("13.BDA.PP")
    x, n = published.inputs["x"], published.inputs["n"]
    post = Share(1, 1).update(x, n - x)
    found = [post.mean, post.sd, *post.interval()]
    assert found == pytest.approx(published.expected, abs=published.tol)


def test_every_case_of_the_topic_is_covered() -> None:
    assert len(cases(13)) == 10


@given(st.lists(st.floats(-5, 5), min_size=1, max_size=6), st.lists(st.floats(-5, 5), min_size=1, max_size=6))
def test_two_updates_are_one(first: list[float], second: list[float]) -> None:
    prior = MeanAndVariance(0.5, 2, 1.5, 3)
    in_two, at_once = prior.update(first).update(second), prior.update(first + second)
    assert in_two.mean == pytest.approx(at_once.mean)
    assert in_two.variance == pytest.approx(at_once.variance)


def test_an_empty_sample_teaches_nothing() -> None:
    prior = MeanAndVariance(0.5, 2, 1.5, 3)
    assert prior.update([]) == prior


def test_estimates_further_apart_than_their_errors_vary() -> None:
    # by hand: w = 1, 1; Q = 2 · 3² = 18; tau² = (18 - 1) / (2 - 2 / 2) = 17
    assert heterogeneity([0, 6], [1, 1]) == pytest.approx((18, 17))


def test_one_estimate_has_no_heterogeneity() -> None:
    assert heterogeneity([3], [1]) == (0, 0)


def test_nothing_to_pool_is_refused() -> None:
    with pytest.raises(Problem, match="at least one estimate"):
        complete_pooling([], [])


def test_no_observation_is_refused() -> None:
    with pytest.raises(Problem, match="leave the prior as it is"):
        normal_update(Pooled(0, 1), 1, 1, 0)
