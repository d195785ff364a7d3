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
from app.core.growth.priors import BROOD_SD, CHECK_CV
from app.core.species import species
from app.core.stats.fitting import quantiles
from app.core.thermal import TemperatureLog

Array = NDArray[np.float64]

BORN = date(2026, 1, 1)
CHECKS = ((14, 10.7, 6), (35, 15.9, 10), (56, 19.9, 8), (77, 22.6, 12))
TARGETS = (25.0, 30.0)
WALKERS, STEPS, BURN = 32, 2_500, 500


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


def log_posterior(fish_cv: float) -> Callable[[Array], float]:
    """Return the same model, written out plainly: normal log means, log-normal priors."""
    of = species("guppy")
    centre = np.log([of.birth_tl_mm, of.linf_f_mm, of.k_f_per_day])
    days, mm, n = np.array(CHECKS, dtype=float).T
    noise, seen = np.sqrt(fish_cv**2 / n + CHECK_CV**2), np.log(mm)

    def density(logs: Array) -> float:
        l0, linf, k = np.exp(logs)
        if l0 >= linf:
            return -np.inf
        curve = np.log(linf - (linf - l0) * np.exp(-k * days))
        apart = (logs - centre) / BROOD_SD
        missed = (seen - curve) / noise
        return float(-0.5 * (apart @ apart + missed @ missed))

    return density


def sampled_medians(fish_cv: float) -> Array:
    """Median days to each target, by an ensemble sampler."""
    of = species("guppy")
    centre = np.log([of.birth_tl_mm, of.linf_f_mm, of.k_f_per_day])
    random = np.random.RandomState(5)
    start = centre + 0.02 * random.randn(WALKERS, 3)
    sampler = emcee.EnsembleSampler(WALKERS, 3, log_posterior(fish_cv))
    sampler.run_mcmc(emcee.State(start, random_state=random.get_state()), STEPS)
    l0, linf, k = np.exp(sampler.get_chain(discard=BURN, flat=True)).T[:, :, None]
    targets = np.array(TARGETS)
    reached = np.where(linf > targets, np.log((linf - l0) / np.maximum(linf - targets, 1e-9)) / k, np.inf)
    return np.asarray(np.median(reached, axis=0))


def fitted_medians(found: GrowthForecast) -> Array:
    """Median days to each target, before they are rounded to whole days."""
    posterior = found.posterior
    reached = np.stack([posterior.days_to(mm) for mm in TARGETS], axis=1)
    (medians,) = quantiles(reached, posterior.weights, (0.5,))
    return np.asarray(medians)


def many_checks() -> GrowthEvidence:
    """Seven checks of an unsexed batch: both sexes, both curves."""
    days = range(14, 105, 14)
    checks = [
        LengthCheck.summed(BORN + timedelta(days=d), 10, 7.5 + 0.19 * d - 0.0006 * d * d, 1.5) for d in days
    ]
    return replace(evidence(), sex=None, checks=checks, today=BORN + timedelta(days=110))


@pytest.mark.bench
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
