"""The cloud of curves against broods drawn day by day and weighed by their checks."""

from datetime import date, timedelta

import numpy as np
import pytest
from scipy.special import ndtr

from app.core.growth import LengthCheck, Sex
from app.core.growth.clock import clock
from app.core.growth.curves import Model, lengths
from app.core.growth.mode import find_mode, seen
from app.core.growth.posterior import NEVER, Posterior, crossings, grid, measured, unmeasured
from app.core.growth.priors import Prior, brood_prior
from app.core.growth.wandering import PACE_SD, SPELL_DAYS
from app.core.species import species
from app.core.stats.fitting import quantiles

BORN = date(2026, 1, 1)
LEVELS = (0.1, 0.5, 0.9)


def check(days: int, mm: float, n: int) -> LengthCheck:
    return LengthCheck.summed(BORN + timedelta(days=days), n, mm)


SCENES = [
    ("female", (check(20, 12.0, 3),)),
    ("female", (check(14, 10.2, 8), check(42, 15.0, 10))),
    (None, (check(14, 10.2, 8), check(42, 14.0, 10), check(70, 17.0, 20))),
]


def drawn(
    prior: Prior, checks: tuple[LengthCheck, ...], target: float, share: float | None = None
) -> np.ndarray:
    """Quantiles of the days to a target: 200,000 broods from the prior, weighed by their checks.

    The mean has to reach the target, or the length of a share of the fish.

    Each has a curve, and a clock whose pace is drawn day by day; nothing is linear or normal here.
    """
    data, rng = seen(prior, checks, clock(BORN, None)), np.random.default_rng(8)
    reached, logs = [], []
    for _ in range(10):
        curves = prior.mean + rng.normal(size=(20_000, 3)) @ np.linalg.cholesky(prior.covariance).T
        ages = wandered(rng, 20_000, 260)
        means = prior.lengths(curves, ages)
        missed = (np.log(means[:, data.ages.astype(int)]) - data.logs) / data.noise
        logs.append(-0.5 * (missed**2).sum(axis=1))
        long = (
            means / target if share is None else long_fish(prior, curves, ages, target, data.fish_cv) / share
        )
        reached.append(crossings(long, np.arange(260.0), 1.0))
    log = np.concatenate(logs)
    weights = np.exp(log - log.max())
    assert weights.sum() ** 2 / (weights**2).sum() > 500
    return quantiles(np.concatenate(reached)[:, None], weights / weights.sum(), LEVELS)[:, 0]


def long_fish(prior: Prior, curves: np.ndarray, ages: np.ndarray, mm: float, fish_cv: float) -> np.ndarray:
    """Share of each brood's fish at or over a length on each day."""
    parts = ((part.share, lengths(prior.model, part.logs + curves, ages)) for part in prior.parts)
    return np.asarray(sum(share * ndtr(np.log(own / mm) / fish_cv) for share, own in parts))


def wandered(rng: np.random.Generator, broods: int, days: int) -> np.ndarray:
    """Ages on the clocks of many broods at 25 °C, the pace an autoregression from day to day."""
    kept = np.exp(-1 / SPELL_DAYS)
    shown, ahead = np.zeros((broods, days)), rng.normal(0, PACE_SD, broods)
    for day in range(1, days):
        then = kept * ahead + np.sqrt(1 - kept**2) * rng.normal(0, PACE_SD, broods)
        shown[:, day] = shown[:, day - 1] + np.maximum(0.0, 1 + (ahead + then) / 2)
        ahead = then
    return shown


@pytest.mark.slow
@pytest.mark.parametrize(("sex", "checks"), SCENES, ids=["one check", "two", "three, unsexed"])
def test_dates_agree_with_broods_drawn_day_by_day(sex: Sex | None, checks: tuple[LengthCheck, ...]) -> None:
    prior = brood_prior(species("guppy"), sex, Model.VON_BERTALANFFY)
    time = clock(BORN, None)
    fitted = measured(find_mode(prior, seen(prior, checks, time)), time)
    ours = fitted.dates_to(20.0, LEVELS)
    truth = drawn(prior, checks, 20.0)
    assert ours == pytest.approx(truth, abs=0.02 * float(truth[2] - truth[0]))


@pytest.mark.slow
@pytest.mark.parametrize(("sex", "checks"), SCENES[1:], ids=["two", "three, unsexed"])
def test_days_to_long_fish_agree_with_broods_drawn_day_by_day(
    sex: Sex | None, checks: tuple[LengthCheck, ...]
) -> None:
    prior = brood_prior(species("guppy"), sex, Model.VON_BERTALANFFY)
    time = clock(BORN, None)
    fitted = measured(find_mode(prior, seen(prior, checks, time)), time)
    ours = np.interp(LEVELS, fitted.chance_long(16.0, 0.9), np.arange(len(time.ages)))
    truth = drawn(prior, checks, 16.0, share=0.9)
    assert ours == pytest.approx(truth, abs=max(0.5, 0.04 * float(truth[2] - truth[0])))


def test_fish_that_are_never_long_leave_the_chance_at_none() -> None:
    expected = unmeasured(brood_prior(species("guppy"), None, Model.VON_BERTALANFFY), clock(BORN, None))
    chances = expected.chance_long(40.0, 0.9)
    assert chances[-1] < 1e-3
    assert np.all(np.diff(chances) >= 0)


def test_no_clock_runs_backwards_and_no_fish_shrinks() -> None:
    prior = brood_prior(species("guppy"), "female", Model.VON_BERTALANFFY)
    shrinking = (check(30, 16.0, 10), check(50, 13.0, 10), check(60, 19.0, 10))
    time = clock(BORN, None)
    fitted = measured(find_mode(prior, seen(prior, shrinking, time)), time)
    assert np.all(np.diff(fitted.ages, axis=1) >= 0)
    assert np.all(np.diff(fitted.table, axis=1) >= -1e-9)


def usual() -> Posterior:
    prior = brood_prior(species("guppy"), "female", Model.VON_BERTALANFFY)
    return unmeasured(prior, clock(BORN, None))


def test_the_table_gives_the_same_bands_as_the_curves() -> None:
    weekly = np.arange(0.0, 210.0, 7.0)
    from_table = usual().quantiles(weekly, LEVELS)
    ages = np.stack([np.interp(weekly, usual().days, row) for row in usual().ages])
    reckoned = quantiles(usual().prior.lengths(usual().points, ages), usual().weights, LEVELS)
    assert from_table == pytest.approx(reckoned, rel=5e-3)


def test_a_length_beyond_a_curve_is_never_reached() -> None:
    assert np.all(usual().days_to(300.0) == NEVER)


def test_crossings_run_straight_between_grid_days() -> None:
    values = np.array([[0.0, 10.0, 20.0], [0.0, 1.0, 2.0], [5.0, 6.0, 7.0]])
    assert crossings(values, np.array([0.0, 7.0, 14.0]), 5.0) == pytest.approx([3.5, NEVER, 0.0])


def test_the_grid_is_weekly_for_the_young_and_widens() -> None:
    days = grid(1_460)
    steps = np.diff(days)
    assert set(steps[days[:-1] < 140]) == {7.0}
    assert np.all(steps[days[:-1] >= 140][:-1] >= 14.0)
    assert days[-1] == 1_460


@pytest.mark.parametrize("last", [1, 30, 140, 365, 1_460])
def test_the_grid_rises_to_its_last_day(last: int) -> None:
    assert np.all(np.diff(grid(last)) > 0)
    assert grid(last)[-1] == last


@pytest.mark.parametrize("sex", ["female", None])
def test_dates_summed_over_clocks_agree_with_the_cloud(sex: Sex | None) -> None:
    prior, time = brood_prior(species("guppy"), sex, Model.VON_BERTALANFFY), clock(BORN, None)
    fitted = measured(find_mode(prior, seen(prior, SCENES[1][1], time)), time)
    cloud = quantiles(fitted.days_to(20.0)[:, None], fitted.weights, LEVELS)[:, 0]
    assert fitted.dates_to(20.0, LEVELS) == pytest.approx(cloud, rel=0.03)


def test_a_date_beyond_the_clock_is_never() -> None:
    assert np.all(usual().dates_to(300.0, LEVELS) == NEVER)
