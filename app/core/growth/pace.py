"""How much sooner or later a batch comes to a stage of life, as its size shows."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.core.growth.clock import clock
from app.core.growth.curves import Model
from app.core.growth.posterior import Posterior, unmeasured
from app.core.growth.priors import brood_prior
from app.core.species import Species

Array = NDArray[np.float64]

FASTEST, SLOWEST = 0.4, 2.5
"""Bounds on the factor: size can't make up for any age (judgement)."""


@dataclass(frozen=True, slots=True)
class Pace:
    """Thermal age at the usual length over the usual age: above 1 is slow.

    ``sd`` is the log standard deviation of ``factor``; ``usual_sd`` that of any brood before checks.
    """

    factor: float
    sd: float
    usual_sd: float


def pace(species: Species, grown: Posterior, age: float) -> Pace:
    """Compare when a batch reaches the length that is usual at a thermal age with that age."""
    parts = grown.prior.parts
    sex = parts[0].sex if len(parts) == 1 else None
    time = clock(grown.clock.born, None)
    usual = unmeasured(brood_prior(species, sex, Model.VON_BERTALANFFY), time)
    length = float(usual.weights @ usual.lengths(np.array([age]))[:, 0])
    before, after = _logs(usual, length, age), _logs(grown, length, age)
    shift = float(grown.weights @ after - usual.weights @ before)
    return Pace(float(np.exp(shift)), _spread(after, grown.weights), _spread(before, usual.weights))


def _logs(fit: Posterior, length: float, age: float) -> Array:
    reached = fit.clock.at(fit.days_to(length))
    return np.asarray(np.log(np.clip(reached / age, FASTEST, SLOWEST)))


def _spread(values: Array, weights: Array) -> float:
    centre = weights @ values
    return float(np.sqrt(weights @ (values - centre) ** 2))
