"""Curve fits against certified and published values."""

from collections.abc import Callable

import numpy as np
import pytest
from lmfit import Parameters, minimize
from numpy.typing import NDArray
from scipy import stats

from app.core.problems import Problem
from app.core.stats.fitting import Fit, cloud, least_squares, normal_nodes, numeric, quantiles
from tests.reference.published import case

Array = NDArray[np.float64]
Curve = Callable[[Array, Array], Array]


def brody(p: Array, x: Array) -> Array:
    return np.asarray(p[0] * (1 - np.exp(-p[1] * (x - p[2]))))


def fitted(curve: Curve, x: Array, y: Array, start: list[float]) -> Fit:
    return least_squares(numeric(lambda p: curve(p, x) - y), np.array(start), precision=1e-11)


def hake(case_id: str) -> tuple[Array, Array]:
    inputs = case(case_id).inputs
    return np.array(inputs["age"], dtype=float), np.array(inputs["length_cm"])


def test_kimuras_female_hake() -> None:
    published = case("6.KIM.females.par")
    fit = fitted(brody, *hake(published.id), [60, 0.3, 0])
    assert fit.converged
    for found, expected, tolerance in zip(
        fit.parameters, published.expected, (0.01, 1e-4, 5e-4), strict=True
    ):
        assert found == pytest.approx(expected, abs=tolerance)


def test_kimuras_residual_sum_of_squares() -> None:
    published = case("6.KIM.females.rss")
    fit = fitted(brody, *hake(published.id), [60, 0.3, 0])
    for found, expected, tol in zip((fit.rss, fit.rss / 13), published.expected, published.tol, strict=True):
        assert found == pytest.approx(expected, abs=tol)


def test_kimuras_standard_errors() -> None:
    published = case("6.KIM.females.se")
    fit = fitted(brody, *hake(published.id), [60, 0.3, 0])
    assert fit.standard_errors == pytest.approx(published.expected, abs=published.tol)


def test_kimuras_multiplicative_errors() -> None:
    published = case("6.KIM.females.log")
    x, y = hake(published.id)
    fit = fitted(lambda p, t: np.log(brody(p, t)), x, np.log(y), [60, 0.3, 0])
    for found, expected, tolerance in zip(
        fit.parameters, published.expected, (0.02, 2e-4, 1e-3), strict=True
    ):
        assert found == pytest.approx(expected, abs=tolerance)


SHARED = {
    "Linf": [0, 1, 2, 0, 3, 4],
    "K": [0, 1, 2, 3, 1, 4],
    "t0": [0, 1, 2, 3, 4, 2],
    "all": [0, 1, 2, 0, 1, 2],
}
"""Which parameter each of the two sexes' Linf, K, t0 is, when one of them (or all) is held equal."""


def test_kimuras_likelihood_ratios_between_the_sexes() -> None:
    published = case("6.KIM.LRT")
    given = {name: np.array(values) for name, values in published.inputs.items()}
    n = len(given["female_age"]) + len(given["male_age"])

    def rss(which: list[int]) -> float:
        def residuals(p: Array) -> Array:
            both = p[which]
            return np.concatenate(
                [
                    brody(both[:3], given["female_age"]) - given["female_cm"],
                    brody(both[3:], given["male_age"]) - given["male_cm"],
                ]
            )

        start = np.zeros(max(which) + 1)
        start[which] = [60, 0.3, 0.0, 56, 0.3, 0.0]
        return least_squares(numeric(residuals), start).rss

    full = rss([0, 1, 2, 3, 4, 5])
    assert full == pytest.approx(float(given["RSS_full"]), abs=1e-3)
    found = [n * np.log(rss(which) / full) for which in SHARED.values()]
    assert found == pytest.approx(published.expected, abs=published.tol)


def test_nist_boxbod_from_the_second_official_start() -> None:
    """The first, (1, 1), runs onto the plateau at 172.5, as MINPACK's Levenberg-Marquardt does."""
    published = case("6.NIST.BoxBOD")
    x, y = (np.array(published.inputs[k], dtype=float) for k in "xy")
    fit = fitted(lambda p, t: p[0] * (1 - np.exp(-p[1] * t)), x, y, [100.0, 0.75])
    assert [*fit.parameters, *fit.standard_errors, fit.rss] == pytest.approx(published.expected, rel=1e-6)


@pytest.mark.parametrize("start", [[100.0, 1.0, 0.1], [75.0, 2.5, 0.07]], ids=["far", "near"])
def test_nist_rat42_from_both_official_starts(start: list[float]) -> None:
    published = case("6.NIST.Rat42")
    x, y = (np.array(published.inputs[k], dtype=float) for k in "xy")
    fit = fitted(lambda p, t: p[0] / (1 + np.exp(p[1] - p[2] * t)), x, y, start)
    assert [*fit.parameters, fit.rss] == pytest.approx(published.expected, rel=1e-6)


def test_nist_misra1a() -> None:
    """Certified values from memory: b1 238.94212918, b2 5.5015643181E-04, RSS 1.2455138894E-01."""
    y = [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78]
    x = [77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0]
    fit = fitted(lambda p, t: p[0] * (1 - np.exp(-p[1] * t)), np.array(x), np.array(y), [500, 1e-4])
    assert [*fit.parameters, fit.rss] == pytest.approx(
        [238.94212918, 5.5015643181e-4, 0.12455138894], rel=1e-6
    )


def test_dnase_gompertz() -> None:
    published = case("6.GOMP.1")
    x, y = np.log(published.inputs["conc"]), np.array(published.inputs["density"])
    fit = fitted(lambda p, t: p[0] * np.exp(-p[1] * p[2] ** t), x, y, [3.0, 2.0, 0.7])
    assert fit.parameters == pytest.approx(published.expected, abs=published.tol)


def test_fits_agree_with_lmfit() -> None:
    rng = np.random.default_rng(7)
    x = np.linspace(0, 20, 15)
    y = brody(np.array([50, 0.2, -1.0]), x) + rng.normal(0, 1, 15)
    ours = fitted(brody, x, y, [40, 0.3, 0])
    names = Parameters()
    for name, value in (("a", 40), ("b", 0.3), ("c", 0.0)):
        names.add(name, value=value)
    theirs = minimize(lambda p: brody(np.array([p["a"], p["b"], p["c"]]), x) - y, names)
    assert ours.parameters == pytest.approx([theirs.params[n].value for n in "abc"], rel=1e-5)
    assert ours.standard_errors == pytest.approx([theirs.params[n].stderr for n in "abc"], rel=1e-3)


def test_too_few_points_are_refused() -> None:
    with pytest.raises(Problem, match="2 points can't fix 3 parameters; give at least 3"):
        fitted(brody, np.array([1.0, 2.0]), np.array([5.0, 6.0]), [60, 0.3, 0])


def test_a_hopeless_start_is_owned_up_to() -> None:
    fit = least_squares(numeric(lambda p: np.array([1.0 + 0 * p[0], 2.0])), np.array([3.0]))
    assert fit.parameters == pytest.approx([3.0])
    assert fit.rss == pytest.approx(5.0)


def test_the_nodes_stand_for_a_standard_normal() -> None:
    nodes = normal_nodes(3, 128)
    assert nodes.mean(axis=0) == pytest.approx(np.zeros(3), abs=1e-12)
    assert np.cov(nodes.T, bias=True) == pytest.approx(np.eye(3), abs=1e-12)
    for column in nodes.T:
        assert stats.kstest(column, "norm").statistic < 0.04


def test_a_cloud_finds_the_moments_of_a_skewed_posterior() -> None:
    gamma = stats.gamma(25.0)

    def log_density(points: Array) -> Array:
        return np.asarray(np.where(points > 0, gamma.logpdf(np.maximum(points, 1e-9)), -1e9)[:, 0])

    found = cloud(log_density, np.array([24.0]), np.array([[24.0]]))
    mean = float(found.weights @ found.points[:, 0])
    assert mean == pytest.approx(25.0, abs=0.1)
    assert float(found.weights @ (found.points[:, 0] - mean) ** 2) == pytest.approx(25.0, rel=0.05)


def test_a_cloud_moves_to_where_the_posterior_is() -> None:
    def log_density(points: Array) -> Array:
        return np.asarray(stats.norm.logpdf(points[:, 0], 3.0, 0.5))

    far = cloud(log_density, np.array([1.5]), np.array([[1.0]]))
    assert float(far.weights @ far.points[:, 0]) == pytest.approx(3.0, abs=0.05)
    assert far.effective > 0.5


def test_weighted_quantiles_of_a_normal() -> None:
    values = normal_nodes(1, 2000)
    found = quantiles(values, np.full(4000, 1 / 4000), (0.1, 0.5, 0.9))[:, 0]
    assert found == pytest.approx(stats.norm.ppf([0.1, 0.5, 0.9]), abs=0.01)


def test_weighted_quantiles_follow_the_weights() -> None:
    values = np.array([[1.0, 10.0], [2.0, 20.0], [3.0, 30.0]])
    found = quantiles(values, np.array([0.05, 0.9, 0.05]), (0.0, 0.5, 1.0))
    assert found[:, 0] == pytest.approx([1.0, 2.0, 3.0])
    assert found[:, 1] == pytest.approx([10.0, 20.0, 30.0])
