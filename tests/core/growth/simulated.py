"""Broods with hidden habits in wandering water, to see whether windows hold what they promise."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from app.core.growth import LengthCheck, Sex
from app.core.growth.priors import BROOD_SD, CHECK_CV, FISH_CV, SLACK
from app.core.growth.wandering import PACE_SD, SPELL_DAYS
from app.core.species import Species
from app.core.thermal import TemperatureLog

Array = NDArray[np.float64]

BORN = date(2026, 1, 1)
DAYS = 1_400


@dataclass(frozen=True)
class Brood:
    """One simulated brood: what is true, and what its keeper measured."""

    species: Species
    sex: Sex | None
    truth: Array
    temperature: TemperatureLog
    checks: tuple[LengthCheck, ...]
    ages: Array

    def day_reached(self, length_mm: float) -> float:
        """Days after birth at which the true mean length is reached; infinite for never."""
        if self.truth[-1] < length_mm:
            return float("inf")
        return float(np.interp(length_mm, self.truth, np.arange(len(self.truth))))


def wandering_water(rng: np.random.Generator, known_days: int) -> tuple[TemperatureLog, Array]:
    """Return a tank's twice-weekly readings up to a day, then its set point, and the true temperatures."""
    set_point = float(rng.uniform(22, 27))
    swing = np.cumsum(rng.normal(0, 0.12, DAYS))
    true = set_point + 1.2 * np.tanh(swing)
    true[known_days:] = set_point
    days = range(0, known_days, 3)
    log = TemperatureLog(tuple((BORN + timedelta(days=d), float(true[d])) for d in days), set_point)
    return log, true


def brood(rng: np.random.Generator, species: Species, sex: Sex | None, measured: tuple[int, ...]) -> Brood:
    """Draw a brood and measure it on some days, 3 to 15 fish each time."""
    log, warm = wandering_water(rng, max(measured, default=0) + 1)
    rate = np.interp(warm, [20, 22, 25, 28, 30], [0.55, 0.75, 1.0, 1.08, 1.10])
    ages = np.concatenate([[0.0], np.cumsum(rate)])[:-1]
    slack = SLACK[species.confidence]
    habit = rng.normal(0, BROOD_SD * np.array([1, slack, slack]))
    shown = own_clock(rng, rate)
    by_sex = {s: _curve(species, s, habit, shown) for s in ("female", "male")}
    truth = by_sex[sex] if sex else (by_sex["female"] + by_sex["male"]) / 2
    checks = tuple(_check(rng, by_sex, sex, day) for day in measured)
    return Brood(species, sex, truth, log, checks, ages)


def own_clock(rng: np.random.Generator, rate: Array) -> Array:
    """Return the age a brood's own clock shows each day, its pace drawn day by day.

    The pace wanders about 1 in spells of a month (an autoregression of the first order) and never stands
    below 0: a brood may stop growing but not shrink.
    """
    kept = np.exp(-rate / SPELL_DAYS)
    steps = rng.normal(0, PACE_SD, len(rate)) * np.sqrt(1 - kept**2)
    pace = np.empty(len(rate))
    ahead = rng.normal(0, PACE_SD)
    for day, (keep, step) in enumerate(zip(kept, steps, strict=True)):
        pace[day] = max(0.0, 1 + ahead)
        ahead = keep * ahead + step
    return np.concatenate([[0.0], np.cumsum(rate * pace)])[:-1]


def _curve(species: Species, sex: str, habit: Array, ages: Array) -> Array:
    linf, k = (
        (species.linf_f_mm, species.k_f_per_day)
        if sex == "female"
        else (species.linf_m_mm, species.k_m_per_day)
    )
    l0, linf, k = np.array([species.birth_tl_mm, linf, k]) * np.exp(habit)
    return np.asarray(linf - (linf - l0) * np.exp(-k * ages))


def _check(rng: np.random.Generator, by_sex: dict[str, Array], sex: Sex | None, day: int) -> LengthCheck:
    n = int(rng.integers(3, 16))
    sexes = [sex] * n if sex else ["female" if coin else "male" for coin in rng.random(n) < 0.5]
    mean = np.array([by_sex[str(s)][day] for s in sexes])
    netted = np.exp(rng.normal(0, CHECK_CV))
    fish = mean * netted * np.exp(rng.normal(-(FISH_CV**2) / 2, FISH_CV, n))
    return LengthCheck(BORN + timedelta(days=day), tuple(float(mm) for mm in fish))
