"""Weight and condition."""

import pytest

from app.core.growth.condition import fulton, weight_g
from app.core.problems import Problem
from tests.reference.published import case


def test_weight_and_fultons_factor() -> None:
    published = case("6.LW.1")
    a, b, length = (published.inputs[name] for name in ("a", "b", "L"))
    weight = weight_g(length, a, b)
    assert [weight, 100 * weight / length**3] == pytest.approx(published.expected, abs=published.tol)
    assert fulton(weight, length) == pytest.approx(published.expected[1])


def test_a_guppy_of_four_centimetres_weighs_half_a_gram() -> None:
    assert weight_g(4.0, 0.008, 3.0447) == pytest.approx(0.545, abs=0.001)


def test_nothing_has_no_weight() -> None:
    with pytest.raises(Problem, match="give cm above 0"):
        weight_g(0, 0.01, 3)
    with pytest.raises(Problem, match="above 0"):
        fulton(-1, 3)
