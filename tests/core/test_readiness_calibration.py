"""Ready dates hold what they promise over simulated broods."""

from datetime import timedelta

import numpy as np
import pytest
from scipy.stats import norm

from app.core.growth import GrowthEvidence, fit_growth
from app.core.growth.priors import FISH_CV
from app.core.readiness import ReadyEvidence, forecast_ready
from app.core.species import species
from tests.core.growth.simulated import BORN, Brood, brood

SALE_MM = 21.0


def day_nine_in_ten(of: Brood) -> int:
    """Days after birth on which nine tenths of the true fish first have the sale length."""
    share = norm.sf(np.log(SALE_MM / of.truth) / FISH_CV)
    return int(np.argmax(share >= 0.9)) if share.max() >= 0.9 else 10_000


@pytest.mark.slow
def test_eight_in_ten_batches_are_ready_inside_the_window() -> None:
    rng = np.random.default_rng(31)
    chances = []
    for _ in range(1_800):
        one = brood(rng, species("guppy"), "female", (21, 49))
        today = one.checks[-1].day
        growth = fit_growth(GrowthEvidence(one.species, BORN, today, one.sex, one.temperature, one.checks))
        when = forecast_ready(
            ReadyEvidence(
                one.species, BORN, today, growth, sale_length_mm=SALE_MM, minimum_age_days=0, sexed=True
            )
        ).when
        day = BORN + timedelta(days=day_nine_in_ten(one))
        before, after = when.by(day - timedelta(days=1)), when.by(day)
        chances.append(before + rng.random() * (after - before))
    drawn = np.array(chances)
    assert 0.77 <= np.mean((drawn > 0.1) & (drawn < 0.9)) <= 0.83
    assert 0.44 <= np.mean(drawn < 0.5) <= 0.56
