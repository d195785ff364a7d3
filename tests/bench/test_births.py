"""A thousand birth forecasts in one call, and one beside a general-purpose sampler."""

import json
import resource
import subprocess
import sys
import time
from collections.abc import Sequence
from datetime import timedelta
from typing import Any

import emcee
import numpy as np
import pytest
from numpy.typing import NDArray
from pytest_benchmark.fixture import BenchmarkFixture

from app.cli.reckon.command import parse
from app.cli.reckon.registry import subject
from app.cli.reckon.subject import written
from app.core.births import BirthEvidence, LastDrop, OwnInterval, forecast_birth
from app.core.births.learning import NOISE, STEP, drift
from app.core.species import species
from app.core.thermal import LN_Q10_SD, TemperatureLog, clock_rate_at, warmth
from tests.core.births.build import MAY, day

Array = NDArray[np.float64]

HISTORY = (28, 27, 29, 30, 28, 29)
CELSIUS = 27.0
WALKERS, STEPS, BURN = 48, 3_000, 1_000


def items() -> bytes:
    """Return 1,000 dams with eight intervals, two sisters and sixty days of temperatures, as JSON."""
    rng = np.random.default_rng(3)
    log = [{"date": str(day(-60 + i)), "c": round(25 + rng.normal(0, 0.5), 1)} for i in range(60)]
    made: list[dict[str, Any]] = [
        {
            "species": "guppy",
            "today": str(MAY),
            "last_drop": str(day(-int(rng.integers(0, 25)))),
            "history": [{"interval_days": int(d), "mean_temp_c": 25.5} for d in rng.integers(23, 31, 8)],
            "kin_history": [[{"interval_days": int(d)} for d in rng.integers(23, 31, 5)] for _ in range(2)],
            "temperature_c": log,
            "brood_number": 10,
        }
        for _ in range(1000)
    ]
    return json.dumps(made).encode()


def answered(raw: bytes) -> str:
    """Do what one call of ``broodwater reckon birth`` does."""
    given, birth = parse(raw), subject("birth")
    assert isinstance(given, list)
    return written([birth.answer(item, index) for index, item in enumerate(given)])


@pytest.mark.bench
def test_a_thousand_forecasts_in_one_call(benchmark: BenchmarkFixture) -> None:
    raw = items()
    answer = benchmark.pedantic(answered, args=(raw,), rounds=5, warmup_rounds=1)  # type: ignore[no-untyped-call]
    assert len(json.loads(answer)) == 1000


@pytest.mark.bench
def test_a_process_for_a_thousand_dams_costs_less_than_a_second(capsys: pytest.CaptureFixture[str]) -> None:
    command, raw = (sys.executable, "-m", "app", "reckon", "birth"), items()
    one = json.dumps(json.loads(raw)[:1]).encode()
    spent = {count: min(cpu(command, given) for _ in range(5)) for count, given in ((1, one), (1000, raw))}
    with capsys.disabled():
        print(f"\nbirths, whole process, CPU: {spent[1]:.2f} s for one dam, {spent[1000]:.2f} s for 1,000")  # noqa: T201
    assert spent[1] < spent[1000] < 1.0  # of CPU, the least of five, as the machine may be busy


def cpu(command: Sequence[str], given: bytes) -> float:
    """Return the seconds of CPU, user and system, of one process from its start to its end."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, input=given, stdout=subprocess.DEVNULL, check=True)  # noqa: S603
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def evidence() -> BirthEvidence:
    """One dam with six intervals at 27 °C."""
    return BirthEvidence(
        species("guppy"),
        MAY,
        LastDrop(MAY, MAY),
        history=tuple(OwnInterval(d, d, CELSIUS) for d in HISTORY),
        temperature=TemperatureLog.constant(CELSIUS),
    )


def log_posterior(at: Array) -> float:
    """Return the same model, written out plainly.

    Strain and dam deviations, the error of ln Q10, and the moves of the level from brood to brood.
    """
    of = species("guppy")
    strain, dam, error = at[:3]
    moves = at[3:]
    rate, warm = clock_rate_at(CELSIUS), warmth(CELSIUS)
    within = of.interval_sd_within
    longer = np.array([drift(of, n) for n in range(1, len(HISTORY) + 1)])
    level = of.interval_days + strain + dam + longer + np.concatenate([[0], np.cumsum(moves)])
    missed = np.array(HISTORY) * rate - (level - of.interval_days * warm * error)
    return float(
        -0.5 * (strain / (of.interval_sd_strain or 1)) ** 2
        - 0.5 * (dam / (of.interval_sd_dam or 1)) ** 2
        - 0.5 * (error / LN_Q10_SD) ** 2
        - 0.5 * np.sum((moves / (STEP * within)) ** 2)
        - 0.5 * np.sum((missed / (NOISE * within)) ** 2)
    )


def sampled_median() -> float:
    """Return the median days to the next drop, by an ensemble sampler."""
    of, random = species("guppy"), np.random.RandomState(5)
    dimensions = 3 + len(HISTORY) - 1
    start = 0.1 * random.randn(WALKERS, dimensions)
    sampler = emcee.EnsembleSampler(WALKERS, dimensions, log_posterior)
    sampler.run_mcmc(emcee.State(start, random_state=random.get_state()), STEPS)
    chain = sampler.get_chain(discard=BURN, flat=True)
    n, within = len(chain), of.interval_sd_within
    level = of.interval_days + chain[:, 0] + chain[:, 1] + chain[:, 3:].sum(axis=1)
    level += drift(of, len(HISTORY) + 1) + random.normal(0, STEP * within, n)
    wait = level - of.interval_days * warmth(CELSIUS) * chain[:, 2] + random.normal(0, NOISE * within, n)
    wait *= np.where(random.random(n) < 0.02, 2, 1)
    return float(np.median(wait)) / clock_rate_at(CELSIUS)


@pytest.mark.bench
@pytest.mark.filterwarnings("ignore::DeprecationWarning")
def test_a_sampler_agrees_and_takes_three_hundred_times_as_long(capsys: pytest.CaptureFixture[str]) -> None:
    told, rounds = evidence(), 200
    begin = time.process_time()
    for _ in range(rounds):
        found = forecast_birth(told)
    ours = (time.process_time() - begin) / rounds
    begin = time.process_time()
    median = sampled_median()
    theirs = time.process_time() - begin
    cdf = np.array([p for _, p in found.cdf])
    # the whole-day cdf holds waits up to half past the day
    exact = float(np.interp(0.5, cdf, np.arange(cdf.size) + 0.5))
    with capsys.disabled():
        print(  # noqa: T201 (a bench shows its numbers)
            f"\nbirths: forecast {1e3 * ours:.2f} ms, emcee {theirs:.2f} s ({theirs / ours:.0f} times), "
            f"median {median:.2f} d against {exact:.2f} d"
        )
    assert abs(median - exact) < 0.5
    assert found.median == MAY + timedelta(round(exact))
    assert theirs > 300 * ours
