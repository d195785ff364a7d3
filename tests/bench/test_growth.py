"""One growth fit, side by side with a general-purpose sampler on the same model."""

import time
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import emcee
import numpy as np
import pytest
from numpy.typing import NDArray
from pytest_benchmark.fixture import BenchmarkFixture

from app.core.growth import GrowthEvidence, GrowthForecast, LengthCheck, fit_growth
from app.core.growth.posterior import crossings
from app.core.growth.priors import BROOD_SD, CHECK_CV
from app.core.growth.wandering import clock_covariance
from app.core.species import species
from app.core.thermal import TemperatureLog

Array = NDArray[np.float64]

BORN = date(2026, 1, 1)
CHECKS = ((14, 10.7, 6), (35, 15.9, 10), (56, 19.9, 8), (77, 22.6, 12))
TARGETS = (25.0, 30.0)
WALKERS, STEPS, BURN = 32, 8_000, 1_000


def evidence() -> GrowthEvidence:
    """Four checks of female guppies at 25 °C."""
    return GrowthEvidence(
        species("guppy"),
        BORN,
        BORN + timedelta(days=80),
        sex="female",
        temperature=TemperatureLog.constant(25),
        checks=[LengthCheck.summed(BORN + timedelta(days=d), n, mm, 0.08 * mm) for d, mm, n in CHECKS],
        targets_mm=TARGETS,
    )


CHECK_DAYS = np.array([float(day) for day, _, _ in CHECKS])


def log_posterior(fish_cv: float) -> Callable[[Array], float]:
    """Return the same model, written out plainly: normal log means, log-normal priors, a wandering clock.

    The first three parameters are the curve's, the others the days the clock is ahead at each check.
    """
    of = species("guppy")
    centre = np.log([of.birth_tl_mm, of.linf_f_mm, of.k_f_per_day])
    days, mm, n = np.array(CHECKS, dtype=float).T
    noise, seen = np.sqrt(fish_cv**2 / n + CHECK_CV**2), np.log(mm)
    stiff = np.linalg.inv(clock_covariance(days, days))

    def density(at: Array) -> float:
        l0, linf, k = np.exp(at[:3])
        ahead = at[3:]
        if l0 >= linf or np.any(days + ahead < 0):
            return -np.inf
        curve = np.log(linf - (linf - l0) * np.exp(-k * (days + ahead)))
        apart = (at[:3] - centre) / BROOD_SD
        missed = (seen - curve) / noise
        return float(-0.5 * (apart @ apart + missed @ missed + ahead @ stiff @ ahead))

    return density


def sampled_medians(fish_cv: float) -> Array:
    """Median days to each target: an ensemble sampler, then each sample's clock drawn day by day."""
    of = species("guppy")
    centre = np.log([of.birth_tl_mm, of.linf_f_mm, of.k_f_per_day])
    rng = np.random.default_rng(5)
    start = np.append(centre, np.zeros(4)) + rng.normal(size=(WALKERS, 7)) * ([0.02] * 3 + [0.5] * 4)
    sampler = emcee.EnsembleSampler(WALKERS, 7, log_posterior(fish_cv))
    sampler.run_mcmc(emcee.State(start, random_state=np.random.RandomState(5).get_state()), STEPS)
    chain = sampler.get_chain(discard=BURN, thin=10, flat=True)
    ages = np.maximum.accumulate(ALL_DAYS + clocks(rng, chain[:, 3:]), axis=1)
    l0, linf, k = np.exp(chain[:, :3]).T[:, :, None]
    curves = linf - (linf - l0) * np.exp(-k * ages)
    return np.array([np.median(crossings(curves, ALL_DAYS, target)) for target in TARGETS])


ALL_DAYS = np.arange(1.0, 400.0)


def clocks(rng: np.random.Generator, ahead: Array) -> Array:
    """Draw how far each clock is ahead on all days, given how far it is at the checks."""
    towards = np.linalg.solve(
        clock_covariance(CHECK_DAYS, CHECK_DAYS), clock_covariance(CHECK_DAYS, ALL_DAYS)
    )
    left = clock_covariance(ALL_DAYS, ALL_DAYS) - clock_covariance(ALL_DAYS, CHECK_DAYS) @ towards
    values, vectors = np.linalg.eigh(left)
    root = vectors * np.sqrt(np.maximum(values, 0.0))
    return np.asarray(ahead @ towards + rng.normal(size=(len(ahead), len(ALL_DAYS))) @ root.T)


def fitted_medians(found: GrowthForecast) -> Array:
    """Median days to each target, before they are rounded to whole days."""
    return np.array([float(found.posterior.dates_to(mm, (0.5,))[0]) for mm in TARGETS])


def many_checks() -> GrowthEvidence:
    """Seven checks of an unsexed batch: both sexes, both curves."""
    days = range(14, 105, 14)
    checks = [
        LengthCheck.summed(BORN + timedelta(days=d), 10, 7.5 + 0.19 * d - 0.0006 * d * d, 1.5) for d in days
    ]
    return replace(evidence(), sex=None, checks=checks, today=BORN + timedelta(days=110))


@pytest.mark.bench
@pytest.mark.benchmark(timer=time.process_time)  # of CPU, as the machine may be busy with other things
@pytest.mark.parametrize("given", [evidence(), many_checks()], ids=["four checks", "seven, unsexed"])
def test_one_fit_takes_under_five_milliseconds(benchmark: BenchmarkFixture, given: GrowthEvidence) -> None:
    benchmark(fit_growth, given)
    assert benchmark.stats is not None
    assert benchmark.stats.stats.median < 0.005


@pytest.mark.bench
@pytest.mark.filterwarnings("ignore::DeprecationWarning")
def test_a_sampler_agrees_and_takes_three_hundred_times_as_long(capsys: pytest.CaptureFixture[str]) -> None:
    given = evidence()
    found = fit_growth(given)
    rounds = 50
    begin = time.process_time()
    for _ in range(rounds):
        fit_growth(given)
    ours = (time.process_time() - begin) / rounds
    begin = time.process_time()
    medians = sampled_medians(found.fish_cv)
    theirs = time.process_time() - begin
    apart = np.abs(medians - fitted_medians(found))
    with capsys.disabled():
        print(  # noqa: T201 (a bench shows its numbers)
            f"\ngrowth: fit {1e3 * ours:.2f} ms, emcee {theirs:.2f} s ({theirs / ours:.0f} times), "
            f"medians {medians.round(1)} d, apart {apart.round(2)} d"
        )
    assert np.all(apart < 0.5)
    assert theirs > 300 * ours
