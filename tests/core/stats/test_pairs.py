"""A belief about two numbers: closed form against plain linear algebra."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.stats.pairs import Pair
from app.core.stats.pooling import Pooled, normal_update

OBSERVED = st.tuples(st.floats(-20, 20), st.floats(-10, 10), st.floats(0.1, 9))


@given(st.lists(OBSERVED, min_size=1, max_size=6))
def test_learning_one_by_one_is_learning_at_once(seen: list[tuple[float, float, float]]) -> None:
    # reference: the Gaussian posterior by inverting the precision matrix
    pair = Pair(2, 0, 9, 0.5, 0.3)
    precision = np.linalg.inv(np.array([[9, 0.3], [0.3, 0.5]]))
    shift = precision @ np.array([2, 0])
    for y, weight, noise in seen:
        pair, _ = pair.learn(y, weight, noise)
        row = np.array([1, weight])
        precision = precision + np.outer(row, row) / noise
        shift = shift + row * y / noise
    covariance = np.linalg.inv(precision)
    assert [pair.a, pair.b] == pytest.approx(covariance @ shift, abs=1e-6)
    assert [pair.var_a, pair.cov, pair.var_b] == pytest.approx(covariance[[0, 0, 1], [0, 1, 1]], abs=1e-6)


def test_without_the_second_number_it_is_the_conjugate_normal() -> None:
    post = normal_update(Pooled(25, 9), 27, 2)
    pair, gain = Pair(25, 0, 9, 1).learn(27, 0, 4)
    assert (pair.a, pair.var_a) == pytest.approx((post.mean, post.variance))
    assert gain == pytest.approx(9 / 13)
    assert (pair.b, pair.var_b) == (0, 1)


def test_a_step_shifts_and_loosens() -> None:
    assert Pair(25, 0, 9, 1, 0.5).moved(0.25, 1) == Pair(25.25, 0, 10, 1, 0.5)


def test_a_weighted_sum() -> None:
    assert Pair(25, 2, 9, 1, 0.5).sum(-3) == pytest.approx((19, 9 - 3 + 9))
