"""Thermal time: how fast a carrying or a growing fish moves at the temperatures of its tank."""

from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from math import exp, sqrt
from operator import mul

import numpy as np
import numpy.typing as npt

from app.core.problems import Problem

Days = npt.NDArray[np.float64]

REFERENCE_C = 25.0
LN_Q10 = 0.39  # Q10 = 1.48: mosquitofish 22.6 d at 25 °C, 18.6 d at 30 °C (Vondracek et al. 1988)
LN_Q10_SD = 0.15  # judgement: Q10 1.10 to 1.98, one species and one pair of temperatures
BREEDING_C = (18.0, 31.0)  # no breeding below 18 °C (Koya et al. 2000); upper bound judgement
_HOTTEST = 45.0  # °C; a larger figure was meant as °F
SURE_C = (20.0, 30.0)  # outside, the law is extrapolated
LONGEST_GAP_DAYS = 7  # readings further apart than this are not joined by a line
HOLD_DAYS = 3  # how long the last reading speaks for the tank
_GROWTH_C = (20.0, 22.0, 25.0, 28.0, 30.0)
_GROWTH = (0.55, 0.75, 1.0, 1.08, 1.10)  # 20, 25, 30 °C after Vondracek et al. 1988; between, judgement


def celsius(value: float, field: str = "temperature_c") -> float:
    """Return a tank temperature as given, or refuse what no livebearer's tank has.

    Raises
    ------
    Problem
        Above 45 °C (most likely °F), below 0, or not a number.
    """
    if value > _HOTTEST:
        raise Problem(f"{value:g} looks like °F? Give °C (18 to 31 is usual)", field)
    if not value >= 0:
        raise Problem(f"{value:g} °C is no tank temperature; give °C (18 to 31 is usual)", field)
    return float(value)


def clock_rate(temperature_c: npt.ArrayLike, ln_q10: float = LN_Q10) -> Days:
    """Thermal days (at 25 °C) that pass for a carrying dam in one day.

    rate = Q10 ** ((T - 25) / 10), T held to 18 to 31 °C

    References
    ----------
    Vondracek, Wurtsbaugh & Cech (1988), Env. Biol. Fish. 21:45 (Q10 1.48, mosquitofish).
    """
    warm = np.minimum(np.maximum(temperature_c, BREEDING_C[0]), BREEDING_C[1])
    rate: Days = np.exp(ln_q10 * (warm - REFERENCE_C) / 10)
    return rate


def warmth(temperature_c: float) -> float:
    """Tens of degrees above 25 °C, held to the breeding range: what ln Q10 is multiplied by."""
    return (min(max(temperature_c, BREEDING_C[0]), BREEDING_C[1]) - REFERENCE_C) / 10


def clock_rate_at(temperature_c: float) -> float:
    """Return the same as :func:`clock_rate` for one temperature."""
    return exp(LN_Q10 * warmth(temperature_c))


def growth_multiplier(temperature_c: float | Days) -> Days:
    """Growing days (at 25 °C) that pass in one day, by interpolation.

    0.55, 0.75, 1.00, 1.08, 1.10 at 20, 22, 25, 28, 30 °C; constant outside.

    References
    ----------
    Vondracek, Wurtsbaugh & Cech (1988) for 20, 25 and 30 °C; 22 and 28 °C are judgement.
    """
    return np.asarray(np.interp(np.asarray(temperature_c), _GROWTH_C, _GROWTH))


@dataclass(frozen=True, slots=True)
class TemperatureLog:
    """What is known of a tank's temperature: dated readings in °C and a set point.

    Readings are joined by straight lines across gaps of up to seven days. Longer gaps, days before
    the first reading and days more than three after the last one have the set point.
    """

    readings: tuple[tuple[date, float], ...]
    set_point_c: float

    def __post_init__(self) -> None:
        celsius(self.set_point_c, "set_point_c")
        for _, value in self.readings:
            if not 0 <= value <= _HOTTEST:
                celsius(value, "")
        days = [day for day, _ in self.readings]
        for day, later in pairwise(days):
            if later == day:
                raise Problem(f"two temperatures on {day}; keep one a day")
            if later < day:
                raise Problem(f"{later} comes after {day}; give the readings in order of date")

    @classmethod
    def constant(cls, temperature_c: float) -> "TemperatureLog":
        """Return the log of a tank that always has that temperature."""
        return cls((), temperature_c)

    @classmethod
    def of(cls, readings: tuple[tuple[date, float], ...]) -> "TemperatureLog":
        """Return a log without a set point of its own: the mean of its last fortnight stands for it."""
        if not readings:
            raise Problem("an empty list of temperatures; give a number or at least one reading")
        ordered = tuple(sorted(readings))
        last = ordered[-1][0]
        fortnight = [value for day, value in ordered if (last - day).days < 14]
        return cls(ordered, sum(fortnight) / len(fortnight))

    @property
    def swing_c(self) -> float:
        """Standard deviation of the readings, °C; 0 without any."""
        if not self.readings:
            return 0.0
        return _spread([value for _, value in self.readings])

    def at(self, day: date) -> float:
        """Return the temperature of one day, °C."""
        return float(self.daily(day, 1)[0])

    def daily(self, first: date, days: int) -> Days:
        """Return the temperatures of ``days`` days from ``first`` on, °C."""
        wanted = np.arange(first.toordinal(), first.toordinal() + days, dtype=np.float64)
        if not self.readings:
            return np.full(days, self.set_point_c)
        known = [day.toordinal() for day, _ in self.readings]
        values = [value for _, value in self.readings]
        held, last = [*known, known[-1] + HOLD_DAYS], [*values, values[-1]]
        filled = np.interp(wanted, held, last, left=self.set_point_c, right=self.set_point_c)
        daily = known[-1] - known[0] == len(known) - 1  # then there are no gaps to look for
        for before, after in () if daily else pairwise(known):
            if after - before > LONGEST_GAP_DAYS:
                filled[(wanted > before) & (wanted < after)] = self.set_point_c
        return np.asarray(filled)

    def mean(self, first: date, last: date) -> float:
        """Return the mean temperature from ``first`` to ``last``, both included, °C."""
        return float(self.daily(first, max((last - first).days, 0) + 1).mean())

    def clock(self, first: date, days: int) -> Days:
        """Return thermal days passed since ``first`` on each of ``days`` days (0 on the first).

        The sum of daily rates by the trapezium rule.
        """
        return _passed(clock_rate(self.daily(first, days)))

    def growing(self, first: date, days: int) -> Days:
        """Return growing days passed since ``first`` on each of ``days`` days (0 on the first)."""
        return _passed(growth_multiplier(self.daily(first, days)))

    def thermal_days(self, first: date, last: date) -> float:
        """Return thermal days (at 25 °C) of a carrying from one date to another."""
        return float(self.clock(first, (last - first).days + 1)[-1])

    def growing_days(self, first: date, last: date) -> float:
        """Return growing days (at 25 °C) from one date to another."""
        return float(self.growing(first, (last - first).days + 1)[-1])


def _spread(values: list[float]) -> float:
    mean = sum(values) / len(values)
    off = [value - mean for value in values]
    return sqrt(sum(map(mul, off, off)) / len(values))


def _passed(rate: Days) -> Days:
    passed = np.zeros(rate.size)
    np.cumsum((rate[1:] + rate[:-1]) / 2, out=passed[1:])
    return passed
