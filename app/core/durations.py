"""How long a project usually lasts, from putting fish together to a batch that can go."""

from datetime import date
from functools import lru_cache
from math import erf, sqrt

import numpy as np

from app.core.day_distribution import DayDistribution
from app.core.growth import GrowthEvidence, fit_growth
from app.core.planning import lasting
from app.core.readiness import ReadyEvidence, forecast_ready
from app.core.sexing import SexingEvidence, forecast_sexing
from app.core.species import SPECIES, Overrides, Species, overridden
from app.core.thermal import TemperatureLog

ANY_DAY = date(2001, 1, 1)
LONGEST_RAISING_DAYS = 730
"""A species that seldom reaches its sale length is planned to two years and no further (judgement)."""


def project_lasts(
    species: Species, temperature_c: float, shortest: int | None = None, longest: int | None = None
) -> tuple[float, ...]:
    """Probability of each whole number of days from pairing to a batch that is ready to rehome.

    The keeper's own numbers go first: evenly between ``shortest`` and ``longest``. Else the wait for
    a first brood, ``N(first_brood_days, first_brood_sd)``, convolved with how long a batch without
    any measurement takes to be ready.

    Parameters
    ----------
    species : Species
        Days at 25 °C, lengths in mm.
    temperature_c : float
        What the tank is kept at, in °C.
    shortest, longest : int or None
        Days, as the keeper estimates; one of them alone stands for both.

    Raises
    ------
    Problem
        When the keeper's numbers or the temperature cannot be.
    """
    if shortest is not None or longest is not None:
        low = shortest if shortest is not None else longest
        high = longest if longest is not None else shortest
        return lasting(low or 0, high or 0)
    return tuple(float(p) for p in np.convolve(first_drop(species), raising(species, temperature_c)))


def first_drop(species: Species) -> tuple[float, ...]:
    """Probability of each whole number of days from putting fish together to the first drop."""
    mean, spread = species.first_brood_days, max(species.first_brood_sd, 1.0)
    last = int(mean + 4 * spread)
    passed = [0.5 * (1 + erf((day + 0.5 - mean) / spread / sqrt(2))) for day in range(last + 1)]
    whole = np.diff([0.0, *passed[:-1], 1.0])
    return tuple(float(p) for p in whole)


def raising(species: Species, temperature_c: float) -> tuple[float, ...]:
    """Probability of each whole number of days from birth to ready, for a batch nobody has measured."""
    own = Overrides(None, species.sale_length_mm, species.sexable_age_days)
    return _raising(species.key, own, round(temperature_c, 1))


@lru_cache(maxsize=256)
def _raising(key: str, own: Overrides, temperature_c: float) -> tuple[float, ...]:
    of, warm = overridden(SPECIES[key], own), TemperatureLog((), temperature_c)
    growth = fit_growth(GrowthEvidence(species=of, born=ANY_DAY, today=ANY_DAY, temperature=warm))
    sexing = forecast_sexing(SexingEvidence(of, ANY_DAY, ANY_DAY, warm))
    return _to_the_end(forecast_ready(ReadyEvidence(of, ANY_DAY, ANY_DAY, growth, sexing)).when)


def _to_the_end(when: DayDistribution) -> tuple[float, ...]:
    """Give the days from birth; what comes late or never is planned on the last day."""
    passed = when.cdf(ANY_DAY, LONGEST_RAISING_DAYS + 1)
    passed[-1] = 1.0
    last = min(LONGEST_RAISING_DAYS, max(0, int(np.searchsorted(passed, 1.0 - 1e-9))))
    mass = np.diff(passed[: last + 1], prepend=0.0)
    mass[-1] += 1.0 - mass.sum()
    return tuple(float(p) for p in mass)


def settled(when: DayDistribution, today: date) -> DayDistribution:
    """Plan what may never come on the last day that was reckoned with, and nothing in the past."""
    return DayDistribution(when.first, (*when.mass[:-1], when.mass[-1] + when.never)).not_before(today)
