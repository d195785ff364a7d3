"""Fitting a curve to numbers: damped least squares, and the spread that the fit leaves."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from app.core.problems import Problem

Array = NDArray[np.float64]
Residuals = Callable[[Array], tuple[Array, Array]]
"""Parameters in; residuals and their derivatives by parameter (one row each) out."""

STEPS = 300
FIRST_DAMPING = 1e-3

SKIPPED = 56
"""Points left out at the start of the even-spread sequence: the later ones are the more even."""


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """The best parameters, the residual sum of squares there, and the curvature.

    ``information`` is J'J; its inverse is the covariance of whitened residuals.
    """

    parameters: Array
    rss: float
    information: Array
    points: int
    converged: bool

    @property
    def covariance(self) -> Array:
        """Inverse of J'J: the covariance when residuals are already in units of their SD."""
        return np.asarray(np.linalg.inv(self.information), dtype=np.float64)

    @property
    def standard_errors(self) -> Array:
        """Standard errors with the noise estimated as RSS / (points - parameters)."""
        free = self.points - len(self.parameters)
        return np.sqrt(np.diag(self.covariance) * self.rss / free)


def least_squares(residuals: Residuals, start: Array, precision: float = 1e-9, unit: float = 0.0) -> Fit:
    """Minimise a sum of squares by Levenberg's damped Gauss-Newton steps, scaled after Marquardt.

    Parameters
    ----------
    residuals : Residuals
        Function of the parameters; rows of a normal prior, divided by its SD, make it a posterior mode.
    start : Array
        Where to begin.
    precision : float
        Relative size of the last step; the error left is its square or so.
    unit : float
        Size below which a step is judged against this and not against the parameter, which may be 0.

    References
    ----------
    Marquardt (1963), J. Soc. Indust. Appl. Math. 11:431; the damping follows the share of the promised
    gain that came true, after Nielsen (1999), IMM-REP-1999-05, Technical University of Denmark.
    """
    at = np.array(start, dtype=float)
    r, jac = residuals(at)
    if len(r) < len(at):
        raise Problem(f"{len(r)} points can't fix {len(at)} parameters; give at least {len(at)}", "points")
    rss, damping, growing, done = float(r @ r), FIRST_DAMPING, 2.0, False
    for _ in range(STEPS):
        gradient, curvature = jac.T @ r, jac.T @ jac
        step = _step(curvature, gradient, damping)
        new_r, new_jac = residuals(at + step)
        new_rss = float(new_r @ new_r)
        promised = -float(step @ (2 * gradient + curvature @ step))
        if new_rss <= rss:
            done = _settled(step, np.maximum(np.abs(at), unit), precision)
            kept = min((rss - new_rss) / max(promised, 1e-300), 1.0)
            at, r, jac, rss = at + step, new_r, new_jac, new_rss
            damping, growing = damping * max(1 / 9, 1 - (2 * kept - 1) ** 3), 2.0
        else:
            done, damping, growing = damping > 1e20, damping * growing, growing * 2
        if done:
            break
    return Fit(at, rss, jac.T @ jac, len(r), done)


def _step(curvature: Array, gradient: Array, damping: float) -> Array:
    damped = curvature.copy()
    diagonal = np.einsum("ii->i", damped)
    diagonal += damping * np.maximum(diagonal, 1e-12 * (diagonal.max() + 1e-300))
    return np.asarray(-np.linalg.solve(damped, gradient), dtype=np.float64)


def _settled(step: Array, sizes: Array, precision: float) -> bool:
    return bool((np.abs(step) <= precision * (sizes + precision)).all())


def numeric(residuals: Callable[[Array], Array]) -> Residuals:
    """Add derivatives by central differences to a function that gives residuals only."""

    def both(at: Array) -> tuple[Array, Array]:
        columns = []
        for i, value in enumerate(at):
            h = 1e-6 * max(abs(float(value)), 1e-3)
            up, down = at.copy(), at.copy()
            up[i] += h
            down[i] -= h
            columns.append((residuals(up) - residuals(down)) / (2 * h))
        return residuals(at), np.stack(columns, axis=1)

    return both


@cache
def normal_nodes(dimensions: int, pairs: int) -> Array:
    """Return fixed points that stand for a standard normal: mirrored pairs of an even-spread sequence.

    The additive sequence of the generalised golden ratio, mapped through the normal quantile, with
    every point's mirror image; then turned and stretched, so that mean and covariance are exact.
    """
    ratio = 2.0
    for _ in range(60):
        ratio = (1 + ratio) ** (1 / (dimensions + 1))
    steps = ratio ** -np.arange(1.0, dimensions + 1)
    points = ndtri((0.5 + np.outer(np.arange(SKIPPED, SKIPPED + pairs), steps)) % 1.0)
    nodes = np.concatenate([points, -points])
    nodes = nodes @ np.linalg.inv(np.linalg.cholesky(nodes.T @ nodes / len(nodes))).T
    nodes.setflags(write=False)
    return nodes


@dataclass(frozen=True, slots=True, eq=False)
class Cloud:
    """Weighted points that stand for a posterior."""

    points: Array
    weights: Array

    @property
    def effective(self) -> float:
        """Share of the points that really count (1 when all weigh the same)."""
        return float(1 / (self.weights @ self.weights) / len(self.weights))


def cloud(log_density: Callable[[Array], Array], mode: Array, covariance: Array, pairs: int = 128) -> Cloud:
    """Weigh fixed points around a mode by the true density over the normal approximation.

    Laplace's normal approximation proposes; importance weights correct it. If few
    points count, the proposal is moved once to the weighted mean and covariance. Nothing is random.
    """
    first = _weighed(log_density, mode, covariance, pairs)
    if first.effective > 0.5:
        return first
    mean = first.weights @ first.points
    apart = first.points - mean
    spread = (apart * first.weights[:, None]).T @ apart + 0.05 * covariance
    second = _weighed(log_density, mean, spread, pairs)
    return second if second.effective > first.effective else first


def _weighed(log_density: Callable[[Array], Array], centre: Array, covariance: Array, pairs: int) -> Cloud:
    z = normal_nodes(len(centre), pairs)
    root = np.linalg.cholesky(covariance)
    points = centre + z @ root.T
    log_weight = log_density(points) + 0.5 * (z**2).sum(axis=1)
    raw = np.exp(log_weight - log_weight.max())
    return Cloud(points, raw / raw.sum())


def quantiles(values: Array, weights: Array, at: tuple[float, ...]) -> Array:
    """Quantiles of weighted values down each column, one row for each level in ``at``.

    Each point's mass is centred on it and the quantile runs straight between points.
    """
    order = np.argsort(values, axis=0)
    ranked = np.take_along_axis(values, order, axis=0)
    mass = weights[order]
    middle = np.cumsum(mass, axis=0) - mass / 2
    return np.stack([_between(ranked, middle, level) for level in at])


def _between(ranked: Array, middle: Array, level: float) -> Array:
    """Read one level off ranked values whose cumulated mass is ``middle``, straight between points."""
    after = np.where(middle[-1] >= level, (middle >= level).argmax(axis=0), len(middle) - 1)
    before = np.maximum(after - 1, 0)
    columns = np.arange(ranked.shape[1])
    low, high = middle[before, columns], middle[after, columns]
    part = np.clip((level - low) / np.where(high > low, high - low, 1.0), 0.0, 1.0)
    part = np.where(after == before, 0.0, part)
    return np.asarray(ranked[before, columns] + part * (ranked[after, columns] - ranked[before, columns]))
