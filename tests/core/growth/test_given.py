"""The clock's strays given a curve, against integration by sheer numbers."""

from datetime import date, timedelta

import numpy as np
import pytest

from app.core.growth import LengthCheck, Sex
from app.core.growth.clock import clock
from app.core.growth.curves import Model
from app.core.growth.given import strays
from app.core.growth.mode import Seen, find_mode, seen
from app.core.growth.priors import Prior, brood_prior
from app.core.growth.wandering import clock_covariance
from app.core.species import species

BORN = date(2026, 1, 1)
CHECKS = tuple(
    LengthCheck.summed(BORN + timedelta(days=d), n, mm) for d, mm, n in ((20, 12.0, 6), (60, 19.0, 10))
)
CURVES = np.array([[0.0, 0.0, 0.0], [0.05, -0.1, 0.1], [-0.05, 0.1, -0.15]])


def drawn(prior: Prior, data: Seen, curve: np.ndarray) -> tuple[float, np.ndarray, np.ndarray]:
    """Log density of the checks, mean strays and their covariance: 400,000 clocks weighed by the checks."""
    wander = clock_covariance(data.ages, data.ages)
    ahead = np.random.default_rng(2).normal(size=(400_000, 2)) @ np.linalg.cholesky(wander).T
    lengths = prior.lengths(np.broadcast_to(curve, (len(ahead), 3)), np.maximum(data.ages + ahead, 1e-3))
    weights = np.exp(-0.5 * (((np.log(lengths) - data.logs) / data.noise) ** 2).sum(axis=1))
    mean = weights @ ahead / weights.sum()
    spread = (ahead - mean).T @ ((ahead - mean) * weights[:, None]) / weights.sum()
    return float(np.log(weights.mean())), mean, spread


@pytest.mark.parametrize("sex", ["female", None])
@pytest.mark.parametrize("model", Model)
def test_density_mean_and_spread_agree_with_drawn_clocks(sex: Sex | None, model: Model) -> None:
    prior = brood_prior(species("guppy"), sex, model)
    data = seen(prior, CHECKS, clock(BORN, None))
    found = strays(prior, data, CURVES, find_mode(prior, data).ahead(CURVES))
    middle, spread = found.at(data.ages)
    truth = [drawn(prior, data, curve) for curve in CURVES]
    logs = np.array([log for log, _, _ in truth])
    assert found.logs - found.logs[0] == pytest.approx(logs - logs[0], abs=0.1)
    for row, (_, mean, covariance) in enumerate(truth):
        deviation = np.sqrt(np.diag(covariance))
        assert middle[row] - data.ages == pytest.approx(mean, abs=0.1 * float(deviation.min()))
        assert spread[row] == pytest.approx(deviation, rel=0.1)
