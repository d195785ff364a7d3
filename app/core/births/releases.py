"""Overlapping broods: fry every few days, told as a rate, with silence as the signal."""

from math import exp

from app.core.births.evidence import BirthEvidence, Exposed, LastDrop, starts
from app.core.births.fertility import prior_chance
from app.core.births.learning import Learned
from app.core.births.sizes import BroodSize
from app.core.normal import below_at
from app.core.thermal import TemperatureLog, clock_rate_at


def fry_per_week(learned: Learned, size: BroodSize, temperature_c: float) -> float:
    """Return fry a week: 7 * brood / interval, at the tank's temperature.

    References
    ----------
    Check: Brown (2016) counted 111 young of one least killifish in eight months, 3.2 a week.
    """
    return 7 * size.median / learned.belief.a * clock_rate_at(temperature_c)


def silence(told: BirthEvidence, learned: Learned, log: TemperatureLog) -> float:
    """Return the chance that a carrying dam shows no fry for as long as this.

    Releases are seen as a Poisson process, since the few fry of one are easily missed: exp(-θ / m).
    After a first exposure the first release comes at N(first, sd²) and is seen a mean interval later.
    """
    begun = told.start.latest if isinstance(told.start, LastDrop) else starts(told.start)[0]
    waited = log.thermal_days(begun, told.today)
    mean = learned.belief.a
    if isinstance(told.start, Exposed) and told.virgin:
        sp = told.species
        sd = (sp.first_brood_sd**2 + mean**2) ** 0.5
        return float(1 - below_at((waited - sp.first_brood_days - mean) / sd))
    return exp(-waited / mean)


def chance_of_releasing(told: BirthEvidence, learned: Learned, log: TemperatureLog) -> float:
    """Return the chance that she is still releasing fry, given the silence so far."""
    prior, survived = prior_chance(told), silence(told, learned, log)
    return prior * survived / (prior * survived + 1 - prior)
