"""Thermal age: a batch's days of life, weighted by how fast its water lets it grow."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from app.core.thermal import TemperatureLog

Array = NDArray[np.float64]

DAYS_OUT = 1_460
"""How far the clock runs: four years, longer than any of these fish keeps growing."""


@dataclass(frozen=True, slots=True, eq=False)
class Clock:
    """Thermal age (days at 25 °C) for every day from birth on; ``ages[0]`` is 0."""

    born: date
    ages: Array

    def at(self, days: Array | float) -> Array:
        """Thermal age ``days`` after birth."""
        return np.asarray(np.interp(days, np.arange(len(self.ages)), self.ages))

    def days(self, age: Array | float) -> Array:
        """Days after birth at which a thermal age is reached."""
        return np.asarray(np.interp(age, self.ages, np.arange(len(self.ages))))

    def age_on(self, day: date) -> float:
        """Thermal age on a date."""
        return float(self.at((day - self.born).days))

    def date_after(self, days: float) -> date:
        """Return the first whole day at or after ``days`` from birth."""
        return self.born + timedelta(days=int(np.ceil(days - 1e-9)))


def clock(born: date, temperature: TemperatureLog | None, days: int = DAYS_OUT) -> Clock:
    """Run the clock from birth; without a temperature every day counts as one at 25 °C."""
    if temperature is None:
        return Clock(born, np.arange(days + 1.0))
    return Clock(born, temperature.growing(born, days + 1))
