"""The distributions of a wait, against simulation and scipy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from app.core.births import Arrived, Exposed
from app.core.births.learning import learn
from app.core.births.waits import Wait, either, first_brood, interval, phase_unknown, wait
from tests.core.births.build import MAY, dropped

X = np.linspace(0, 120, 241)


def median(of: Wait) -> float:
    fine = np.linspace(0, 150, 15001)
    return float(fine[of.cdf(fine).searchsorted(0.5)])


def test_an_interval_is_normal_with_doubled_cycles() -> None:
    reference = (
        0.98 * stats.norm(26, 3).cdf(X)
        + 0.02 * 0.98 * stats.norm(52, 6).cdf(X)
        + 0.02**2 * stats.norm(78, 9).cdf(X)
    )
    assert interval(26, 3).cdf(X) == pytest.approx(reference, abs=1e-12)


def test_first_broods_are_normal() -> None:
    assert first_brood(38, 8).cdf(X) == pytest.approx(stats.norm(38, 8).cdf(X), abs=1e-12)


def test_an_unknown_phase_is_the_integrated_survival() -> None:
    one = interval(26, 3)
    mean = 26 * (0.98 + 2 * 0.0196 + 3 * 0.0004)
    for x in (5.0, 20.0, 26.0, 40.0):
        area, _ = integrate.quad(lambda u: 1 - one.cdf(np.array([u]))[0], 0, x)
        assert phase_unknown(26, 3).cdf(np.array([x]))[0] == pytest.approx(area / mean, abs=1e-5)


def test_an_unknown_phase_is_what_a_buyer_meets() -> None:
    # simulated: dams of mean 26 and SD 3 dropping for years, bought on a random day
    rng = np.random.default_rng(7)
    ends = np.cumsum(np.where(rng.random(60_000) < 0.02, 2, 1) * rng.normal(26, 3, 60_000))
    bought = rng.uniform(1000, ends[-1] - 1000, 20_000)
    ahead = ends[ends.searchsorted(bought)] - bought
    for x in (5, 13, 26, 30):
        assert phase_unknown(26, 3).cdf(np.array([x]))[0] == pytest.approx((ahead <= x).mean(), abs=0.012)


@given(st.floats(15, 60), st.floats(1, 6))
def test_every_wait_has_a_rising_distribution(mean: float, sd: float) -> None:
    x = np.linspace(0, 4 * mean + 10 * sd, 400)
    for made in (interval(mean, sd), phase_unknown(mean, sd), first_brood(mean, sd)):
        cdf = made.cdf(x)
        assert np.all(np.diff(cdf) >= -1e-12)
        assert cdf[0] == pytest.approx(0, abs=0.02)
        assert cdf[-1] == pytest.approx(1, abs=1e-6)


def test_a_mixture_is_the_mean_of_its_parts() -> None:
    one, other = interval(26, 3), first_brood(38, 8)
    assert either(one, other).cdf(X) == pytest.approx((one.cdf(X) + other.cdf(X)) / 2)


def test_each_start_has_its_own_wait() -> None:
    virgin = dropped(start=Exposed(MAY), virgin=True)
    bought = dropped(start=Arrived(MAY))
    medians = [median(wait(told, learn(told), 25)) for told in (dropped(), virgin, bought)]
    assert medians == pytest.approx([26.1, 38, 13.3], abs=0.3)


def test_a_dam_not_known_to_be_a_virgin_may_already_carry() -> None:
    told = dropped(start=Exposed(MAY))
    assert 13 < median(wait(told, learn(told), 25)) < 38


def test_a_goodeid_carries_one_interval_from_exposure() -> None:
    told = dropped(start=Exposed(MAY), key="redtail_goodeid", virgin=True)
    assert median(wait(told, learn(told), 25)) == pytest.approx(55.2, abs=0.3)
