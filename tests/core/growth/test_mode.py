"""The likeliest curve, and how noise is learnt."""

from datetime import date, timedelta

import numpy as np
import pytest
from scipy.optimize import minimize

from app.core.growth import LengthCheck, Sex
from app.core.growth.clock import clock
from app.core.growth.curves import Model
from app.core.growth.mode import find_mode, fish_cv, log_slopes, loosened, seen
from app.core.growth.priors import brood_prior
from app.core.growth.wandering import clock_covariance
from app.core.species import species
from app.core.stats.fitting import numeric

BORN = date(2026, 1, 1)
CHECKS = tuple(
    LengthCheck.summed(BORN + timedelta(days=d), 10, mm, 1.2)
    for d, mm in ((14, 10.2), (42, 15.0), (70, 19.0))
)


@pytest.mark.parametrize("sex", ["female", None])
@pytest.mark.parametrize("model", Model)
def test_the_mode_is_where_a_general_optimiser_ends(sex: Sex | None, model: Model) -> None:
    prior = brood_prior(species("guppy"), sex, model)
    data = seen(prior, CHECKS, clock(BORN, None))
    tight = np.linalg.inv(prior.covariance)
    stiff = np.linalg.inv(clock_covariance(data.ages, data.ages))

    def loss(at: np.ndarray) -> float:
        curve, ahead = at[:3], 10 * at[3:]
        missed = (np.log(prior.lengths(curve[None, :], data.ages + ahead)[0]) - data.logs) / data.noise
        return float(missed @ missed + curve @ tight @ curve + ahead @ stiff @ ahead)

    theirs = minimize(loss, np.zeros(6), method="Powell", options={"xtol": 1e-9, "ftol": 1e-14})
    ours = find_mode(prior, data)
    assert ours.parameters == pytest.approx(theirs.x[:3], abs=2e-4)
    assert ours.met.ages - data.ages == pytest.approx(10 * theirs.x[3:], abs=0.02)
    assert ours.rss == pytest.approx(theirs.fun, abs=1e-4)


@pytest.mark.parametrize("sex", ["female", "male", None])
@pytest.mark.parametrize("model", Model)
def test_slopes_agree_with_differences(sex: Sex | None, model: Model) -> None:
    prior, ages = brood_prior(species("southern_platy"), sex, model), np.array([5.0, 90.0])
    at = np.array([0.05, -0.1, 0.2])
    _, numerically = numeric(lambda p: np.log(prior.lengths(p[None, :], ages)[0]))(at)
    assert log_slopes(prior, at, ages)[1] == pytest.approx(numerically, rel=1e-5, abs=1e-7)


def test_shares_and_prior_make_up_all_that_is_known() -> None:
    prior = brood_prior(species("guppy"), "female", Model.VON_BERTALANFFY)
    mode = find_mode(prior, seen(prior, CHECKS, clock(BORN, None)))
    towards = log_slopes(prior, mode.parameters, mode.met.ages)[1][-1]
    spread = mode.covariance @ towards
    from_prior = spread @ np.linalg.inv(prior.covariance) @ spread / (towards @ spread)
    assert sum(mode.shares) + from_prior == pytest.approx(1.0, abs=1e-6)


def test_the_usual_spread_stands_until_fish_are_measured() -> None:
    single = [LengthCheck(BORN + timedelta(days=30), (14.0,))]
    assert fish_cv(single, np.zeros(1)) == pytest.approx(0.08)


def test_many_measured_fish_set_the_spread() -> None:
    many = [LengthCheck.summed(BORN + timedelta(days=30), 500, 20.0, 2.0)]
    assert fish_cv(many, np.zeros(1)) == pytest.approx(0.10, abs=0.001)


def test_checks_on_the_curve_keep_their_noise() -> None:
    prior = brood_prior(species("guppy"), "female", Model.VON_BERTALANFFY)
    steady = [
        LengthCheck.summed(BORN + timedelta(days=d), 10, mm)
        for d, mm in ((0, 7.5), (28, 14.2), (56, 19.6), (84, 24.1))
    ]
    assert loosened(find_mode(prior, seen(prior, steady, clock(BORN, None)))) is None


def test_checks_that_jump_about_are_trusted_less() -> None:
    prior = brood_prior(species("guppy"), "female", Model.VON_BERTALANFFY)
    jumping = [
        LengthCheck.summed(BORN + timedelta(days=d), 30, mm)
        for d, mm in ((14, 13.5), (28, 12.0), (42, 20.5), (56, 16.5), (70, 25.0))
    ]
    mode = find_mode(prior, seen(prior, jumping, clock(BORN, None)))
    looser = loosened(mode)
    assert looser is not None
    assert np.all(looser.noise > 2 * mode.seen.noise)
