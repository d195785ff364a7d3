"""The normal distribution function agrees with SciPy's, far into both tails."""

import numpy as np
import pytest
from scipy.special import ndtr

from app.core.normal import below, below_at


def test_every_element_agrees_with_scipy_in_any_shape() -> None:
    z = np.linspace(-37, 37, 7_500).reshape(3, -1)
    assert below(z) == pytest.approx(ndtr(z), rel=1e-12, abs=0)


def test_one_number_agrees_to_the_last_digits() -> None:
    for z in (-20.0, -8.5, 0.0, 1.2815515655446004, 6.0):
        assert below_at(z) == pytest.approx(float(ndtr(z)), rel=1e-13)
