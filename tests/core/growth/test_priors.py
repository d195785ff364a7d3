"""What is expected before measuring, and what earlier broods teach."""

import numpy as np
import pytest

from app.core.growth.curves import Model, gompertz, von_bertalanffy
from app.core.growth.priors import (
    BROOD_SD,
    LINE_SHARE,
    SLACK,
    LikelihoodSummary,
    brood_prior,
    species_logs,
)
from app.core.species import SPECIES, species


def test_the_species_table_sets_the_centre() -> None:
    found = np.exp(species_logs(species("guppy"), "male", Model.VON_BERTALANFFY))
    assert found == pytest.approx([7.5, 28.0, 0.012])


def test_well_fed_swordtails_have_their_own_gompertz() -> None:
    """James & Sampath (2003), as compiled: Linf 92, k 0.0158, inflection at 55 days."""
    l0, linf, k = np.exp(species_logs(species("swordtail"), "female", Model.GOMPERTZ))
    assert (linf, k) == pytest.approx((92.0, 0.0158))
    assert np.log(np.log(linf / l0)) / k == pytest.approx(55, abs=1)


@pytest.mark.parametrize("key", sorted(set(SPECIES) - {"swordtail"}))
def test_other_gompertz_curves_pass_half_their_length_on_the_same_day(key: str) -> None:
    plain = np.exp(species_logs(species(key), "female", Model.VON_BERTALANFFY))
    bent = np.exp(species_logs(species(key), "female", Model.GOMPERTZ))
    ages = np.linspace(0, 600, 6001)
    half = bent[1] / 2
    crossed = [
        float(np.interp(half, c, ages)) for c in (von_bertalanffy(ages, *plain), gompertz(ages, *bent))
    ]
    assert crossed[0] == pytest.approx(crossed[1], abs=0.2)
    assert bent[0] == pytest.approx(plain[0])


def test_thin_rows_are_wider() -> None:
    guppy = brood_prior(species("guppy"), "female", Model.VON_BERTALANFFY).covariance
    molly = brood_prior(species("sailfin_molly"), "female", Model.VON_BERTALANFFY).covariance
    assert np.sqrt(np.diag(guppy)) == pytest.approx(BROOD_SD)
    assert np.sqrt(np.diag(molly)) == pytest.approx(BROOD_SD * [1, SLACK["low"], SLACK["low"]])


def test_an_uncertain_birth_is_an_uncertain_length_at_birth() -> None:
    """A curve shifted in age is the same curve with another L0: 5 days of guppy growth are 1.3 mm."""
    sure = brood_prior(species("guppy"), "female", Model.VON_BERTALANFFY).covariance
    unsure = brood_prior(species("guppy"), "female", Model.VON_BERTALANFFY, 5.0).covariance
    grown = 5 * 0.0072 * (44 - 7.5) / 7.5
    assert unsure[0, 0] == pytest.approx(sure[0, 0] + grown**2)
    assert unsure[1:, 1:] == pytest.approx(sure[1:, 1:])


def test_earlier_broods_are_pooled_as_a_full_joint_normal_would() -> None:
    """Line mean and three broods at once, by conditioning one large normal distribution."""
    rng = np.random.default_rng(4)
    sigma = np.diag(BROOD_SD**2)
    seen, noise = rng.normal(0, 0.2, (2, 3)), [np.diag(rng.uniform(0.01, 0.05, 3)) for _ in range(2)]
    kin = [
        LikelihoodSummary(np.asarray(np.linalg.inv(n)), y / np.diag(n))
        for y, n in zip(seen, noise, strict=True)
    ]
    found = brood_prior(species("guppy"), "female", Model.VON_BERTALANFFY, kin=kin)
    between = np.kron(np.full((3, 3), LINE_SHARE), sigma) + np.kron(np.eye(3), (1 - LINE_SHARE) * sigma)
    known = between[:6, :6].copy()
    for i, n in enumerate(noise):
        known[3 * i : 3 * i + 3, 3 * i : 3 * i + 3] += n
    gain = between[6:, :6] @ np.linalg.inv(known)
    assert found.mean == pytest.approx(gain @ seen.ravel())
    assert found.covariance == pytest.approx(between[6:, 6:] - gain @ between[:6, 6:])


def test_a_brood_that_says_nothing_teaches_nothing() -> None:
    silent = LikelihoodSummary(np.zeros((3, 3)), np.zeros(3))
    found = brood_prior(species("guppy"), "female", Model.VON_BERTALANFFY, kin=[silent] * 4)
    assert found.mean == pytest.approx(np.zeros(3), abs=1e-12)
    assert found.covariance == pytest.approx(np.diag(BROOD_SD**2))


def test_a_mixed_batch_varies_by_sex_too() -> None:
    ages = np.array([0.0, 200.0])
    mixed = brood_prior(species("guppy"), None, Model.VON_BERTALANFFY).between_sexes(ages)
    alone = brood_prior(species("guppy"), "male", Model.VON_BERTALANFFY).between_sexes(ages)
    assert mixed[0] == pytest.approx(0.0, abs=1e-12)
    assert mixed[1] > 0.01
    assert alone == pytest.approx([0.0, 0.0])
