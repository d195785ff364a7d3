"""How far a batch's clock strays, against drawing its pace day by day."""

import numpy as np
import pytest

from app.core.growth.wandering import PACE_SD, SPELL_DAYS, clock_covariance, clock_variance


def test_the_covariance_agrees_with_drawn_clocks() -> None:
    rng = np.random.default_rng(6)
    kept = np.exp(-0.1 / SPELL_DAYS)
    pace = rng.normal(0, PACE_SD, 20_000)
    ahead, seen = np.zeros(20_000), []
    for step in range(1, 901):
        then = kept * pace + np.sqrt(1 - kept**2) * rng.normal(0, PACE_SD, 20_000)
        ahead += 0.1 * (pace + then) / 2
        pace = then
        if step in {100, 300, 900}:
            seen.append(ahead.copy())
    ages = np.array([10.0, 30.0, 90.0])
    assert np.cov(seen) == pytest.approx(clock_covariance(ages, ages), rel=0.05)


def test_the_variance_is_the_covariance_of_an_age_with_itself() -> None:
    ages = np.array([0.0, 1.0, 40.0, 700.0])
    assert clock_variance(ages) == pytest.approx(np.diag(clock_covariance(ages, ages)), abs=1e-9)


def test_it_grows_as_the_age_at_first_and_as_its_root_later() -> None:
    young, old = np.sqrt(clock_variance(np.array([1.0, 2.0]))), np.sqrt(clock_variance(np.array([2e4, 8e4])))
    assert young[1] / young[0] == pytest.approx(2.0, rel=0.02)
    assert young[0] == pytest.approx(PACE_SD, rel=0.02)
    assert old[1] / old[0] == pytest.approx(2.0, rel=0.01)


def test_any_set_of_ages_has_a_proper_covariance() -> None:
    ages = np.array([3.0, 4.0, 20.0, 21.0, 300.0])
    assert np.linalg.eigvalsh(clock_covariance(ages, ages)).min() > 0
