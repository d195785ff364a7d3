"""What a logger may measure: the unit each quantity is kept in, other units it may come in, and its range."""

from collections.abc import Callable
from dataclasses import dataclass

from app.core.problems import Problem
from app.core.quantities.saltiness import REFERENCE_C
from app.core.water.seawater import (
    SALTIEST,
    grams_per_litre,
    salinity_from_grams,
    salinity_from_gravity,
    specific_gravity,
)
from app.core.water.units import MG_L_CACO3_PER_DH, NH3_PER_N, NH4_PER_N, NO2_PER_N, NO3_PER_N

MOST_MG_L = 1000.0
HARDEST_DH = 100.0
"""Far beyond any water that fish live in: what lies above is a fault of the sensor (judgement)."""


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: its spellings, its range, and the way from it to the unit that is kept."""

    names: tuple[str, ...]
    lowest: float
    highest: float
    kept: Callable[[float], float]


@dataclass(frozen=True, slots=True)
class Measured:
    """One quantity; the first unit is the one that is kept and meant where none is given."""

    key: str
    words: str
    units: tuple[Unit, ...]

    @property
    def usual(self) -> Unit:
        """The unit that is kept."""
        return self.units[0]

    def unit(self, name: str | None, field: str) -> Unit:
        """Return the unit called ``name``, the kept one for none."""
        if name is None:
            return self.usual
        found = next((unit for unit in self.units if name in unit.names), None)
        if found is None:
            known = ", ".join(unit.names[0] for unit in self.units)
            raise Problem(f"{name[:20]!r} is no unit of {self.key}; give one of {known}", field)
        return found


def _same(value: float) -> float:
    return value


def _celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) * 5.0 / 9.0


def _salt(gravity: float) -> float:
    """Return g/L of what a hydrometer shows in water of 25 °C, against water of 25 °C."""
    return grams_per_litre(salinity_from_gravity(gravity, REFERENCE_C, REFERENCE_C), REFERENCE_C)


def _scaled(names: tuple[str, ...], highest: float, factor: float) -> Unit:
    """Return a unit of which one is ``factor`` of the kept unit; ``highest`` is in the kept unit."""
    return Unit(names, 0.0, highest / factor, lambda value: value * factor)


DEGREES = Unit(("dH", "°dH"), 0.0, HARDEST_DH, _same)
AS_CACO3 = _scaled(("ppm", "mg/L"), HARDEST_DH, 1.0 / MG_L_CACO3_PER_DH)
MILLIGRAMS = Unit(("mg/L", "ppm"), 0.0, MOST_MG_L, _same)

HEAVIEST = specific_gravity(salinity_from_grams(SALTIEST, REFERENCE_C), REFERENCE_C, REFERENCE_C)
"""The specific gravity of the saltiest water."""

MEASURES: dict[str, Measured] = {
    one.key: one
    for one in (
        Measured(
            "temperature",
            "°C",
            (Unit(("C", "°C"), 0.0, 45.0, _same), Unit(("F", "°F"), 32.0, 113.0, _celsius)),
        ),
        Measured("pH", "NBS scale", (Unit(("pH",), 0.0, 14.0, _same),)),
        Measured("GH", "German degrees", (DEGREES, AS_CACO3)),
        Measured("KH", "German degrees", (DEGREES, AS_CACO3)),
        Measured(
            "total ammonia",
            "mg/L as nitrogen",
            (
                MILLIGRAMS,
                _scaled(("mg/L NH3",), MOST_MG_L, 1.0 / NH3_PER_N),
                _scaled(("mg/L NH4",), MOST_MG_L, 1.0 / NH4_PER_N),
            ),
        ),
        Measured(
            "nitrite",
            "mg/L as NO2",
            (MILLIGRAMS, _scaled(("mg/L N",), MOST_MG_L, NO2_PER_N)),
        ),
        Measured(
            "nitrate",
            "mg/L as NO3",
            (MILLIGRAMS, _scaled(("mg/L N",), MOST_MG_L, NO3_PER_N)),
        ),
        Measured(
            "salinity",
            "g/L",
            (
                Unit(("g/L",), 0.0, SALTIEST, _same),
                _scaled(("mg/L", "ppm"), SALTIEST, 1e-3),
                Unit(("SG",), 1.0, HEAVIEST, _salt),
            ),
        ),
    )
}
"""By the word that is sent; the same words as are kept."""
