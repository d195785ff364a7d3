"""Where the mean of a length check falls."""

from datetime import date
from math import exp

import numpy as np
import pytest

from app.core.growth import CurvePoint
from app.core.growth.checking import NINETY, check_band
from app.core.growth.priors import CHECK_CV
from app.core.problems import Problem

DAY = date(2026, 3, 1)


def point(sd: float) -> CurvePoint:
    """Return a day on which the curve's log has a standard deviation."""
    return CurvePoint(DAY, 20.0, 20.0 * exp(-NINETY * sd), 20.0 * exp(NINETY * sd))


def test_the_band_holds_eight_in_ten_simulated_checks() -> None:
    """Against drawing curves, fish and slips of the ruler with a seed."""
    rng = np.random.default_rng(3)
    curves = 20.0 * np.exp(rng.normal(0, 0.03, 40_000))
    fish = rng.normal(0, 0.08, (40_000, 10)).mean(axis=1)
    means = curves * np.exp(fish + rng.normal(0, CHECK_CV, 40_000))
    low, high = check_band(point(0.03), 0.08)
    assert np.mean((means >= low) & (means <= high)) == pytest.approx(0.8, abs=0.01)


def test_more_fish_make_it_narrower_but_never_narrower_than_the_curve() -> None:
    few, many = check_band(point(0.03), 0.08, 2), check_band(point(0.03), 0.08, 10_000)
    assert few[0] < many[0] < point(0.03).p10_mm
    assert few[1] > many[1] > point(0.03).p90_mm


def test_no_fish_make_no_check() -> None:
    with pytest.raises(Problem, match="1 or more"):
        check_band(point(0.03), 0.08, 0)
