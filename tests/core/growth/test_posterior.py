"""The cloud of curves against exact integration on a dense grid."""

from datetime import date, timedelta

import numpy as np
import pytest

from app.core.growth import LengthCheck, Sex
from app.core.growth.clock import clock
from app.core.growth.curves import Model
from app.core.growth.mode import find_mode, seen
from app.core.growth.posterior import NEVER, Posterior, crossings, grid, measured, unmeasured
from app.core.growth.priors import Prior, brood_prior
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


def exact(prior: Prior, checks: tuple[LengthCheck, ...], target: float) -> np.ndarray:
    """Quantiles of the days to a target, from 61 × 61 × 61 curves weighed by the true density."""
    data = seen(prior, checks, clock(BORN, None))
    sd = np.sqrt(np.diag(prior.covariance))
    axes = [np.linspace(-4, 4, 61) * s for s in sd]
    points = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
    missed = (np.log(prior.lengths(points, data.ages)) - data.logs) / data.noise
    log = -0.5 * ((missed**2).sum(axis=1) + ((points / sd) ** 2).sum(axis=1))
    weights = np.exp(log - log.max())
    weights /= weights.sum()
    heavy = weights > 1e-9
    points, weights = points[heavy], weights[heavy] / weights[heavy].sum()
    days = np.arange(0.0, 400.0, 1.0)
    reached = np.concatenate(
        [crossings(prior.lengths(part, days), days, target) for part in np.array_split(points, 40)]
    )
    return quantiles(reached[:, None], weights, LEVELS)[:, 0]


@pytest.mark.parametrize(("sex", "checks"), SCENES, ids=["one check", "two", "three, unsexed"])
def test_dates_agree_with_exact_integration(sex: Sex | None, checks: tuple[LengthCheck, ...]) -> None:
    prior = brood_prior(species("guppy"), sex, Model.VON_BERTALANFFY)
    time = clock(BORN, None)
    fitted = measured(find_mode(prior, seen(prior, checks, time)), time)
    ours = quantiles(fitted.days_to(20.0)[:, None], fitted.weights, LEVELS)[:, 0]
    truth = exact(prior, checks, 20.0)
    assert ours[1] == pytest.approx(truth[1], abs=0.5)
    assert ours == pytest.approx(truth, abs=0.05 * float(truth[2] - truth[0]))


def usual() -> Posterior:
    prior = brood_prior(species("guppy"), "female", Model.VON_BERTALANFFY)
    return unmeasured(prior, clock(BORN, None))


def test_the_table_gives_the_same_bands_as_the_curves() -> None:
    weekly = np.arange(0.0, 210.0, 7.0)
    from_table = usual().quantiles(weekly, LEVELS)
    shifted = usual().quantiles(weekly + 1e-9, LEVELS)
    assert from_table == pytest.approx(shifted, rel=1e-6)


def test_a_length_beyond_a_curve_is_never_reached() -> None:
    assert np.all(usual().days_to(300.0) == NEVER)


def test_crossings_run_straight_between_grid_days() -> None:
    values = np.array([[0.0, 10.0, 20.0], [0.0, 1.0, 2.0], [5.0, 6.0, 7.0]])
    assert crossings(values, np.array([0.0, 7.0, 14.0]), 5.0) == pytest.approx([3.5, NEVER, 0.0])


def test_the_grid_is_weekly_then_monthly() -> None:
    steps = np.diff(grid(1_460))
    assert set(steps[:78]) == {7.0}
    assert set(steps[78:]) == {28.0}
