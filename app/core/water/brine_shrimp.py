"""When to start a brine-shrimp hatch, and with how much, so that nauplii are ready when fry are."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from math import inf

import numpy as np

from app.core.method import Method
from app.core.problems import Problem
from app.core.water.salt import salt_per_kg_water

# Hours from wetting to a full hatch, quick and slow strains: common practice, no source.
HATCH_C = (20.0, 22.0, 25.0, 28.0, 30.0)
QUICK_H = (36.0, 36.0, 24.0, 18.0, 18.0)
SLOW_H = (48.0, 48.0, 30.0, 24.0, 24.0)

CYSTS_G_PER_L = 2.0  # Lavens & Sorgeloos (1996), FAO Fish. Tech. Pap. 361, sect. 4.2-4.3; from memory
SALINITY_G_PER_KG = 25.0  # within the 15 to 35 g/L given there
NAUPLII_PER_G = 200_000.0  # lower end of the 200,000 to 300,000 given there; the tin knows better

METHOD = Method(
    "brine_shrimp",
    "Brine shrimp on time",
    (
        "The hatch takes the longer the cooler it is; the start is set so that even a slow strain is ready.",
        "How many hatch from a gram stands on the tin.",
    ),
    ("hours by temperature, interpolated: 36–48 at 20–22 °C, 24–30 at 25 °C, 18–24 at 28–30 °C",),
    (
        "hours: common practice, no source",
        "2 g of cysts a litre, 15–35 g/L salt: Lavens & Sorgeloos (1996), FAO Fish. Tech. Pap. 361",
    ),
    "Feed nauplii fresh: within a day they lose about a quarter of their energy. Keep the shells out.",
)


@dataclass(frozen=True, slots=True)
class Hours:
    """How long a hatch takes, from quick to slow strains."""

    quick: float
    slow: float


@dataclass(frozen=True, slots=True)
class Hatch:
    """What to put in, and when, for nauplii at a given hour."""

    cysts_g: float
    litres: float
    salt_g: float
    start: datetime
    earliest_ready: datetime
    ready: datetime


def hatch_hours(temperature_c: float) -> Hours:
    """Hours from wetting to hatch, interpolated between the usual figures.

    Parameters
    ----------
    temperature_c : float
        Of the hatching water, 20 to 30.

    Raises
    ------
    Problem
        If it is outside 20 to 30 °C.

    References
    ----------
    Common practice, no source.
    """
    if not HATCH_C[0] <= temperature_c <= HATCH_C[-1]:
        fahrenheit = " (°F?)" if temperature_c > 45 else ""
        raise Problem(
            f"{temperature_c:g} °C{fahrenheit} is no hatching water; give 20 to 30", "temperature_c"
        )
    return Hours(
        float(np.interp(temperature_c, HATCH_C, QUICK_H)), float(np.interp(temperature_c, HATCH_C, SLOW_H))
    )


def hatch_for(
    nauplii: float, ready: datetime, temperature_c: float, nauplii_per_g: float = NAUPLII_PER_G
) -> Hatch:
    """Cysts, water, salt and starting hour for so many nauplii at a given hour.

    Parameters
    ----------
    nauplii : float
        Wanted, above 0.
    ready : datetime
        When they are wanted.
    temperature_c : float
        Of the hatching water, 20 to 30.
    nauplii_per_g : float
        From the tin, above 0.

    Raises
    ------
    Problem
        If an amount is not above zero or the temperature is outside its range.

    References
    ----------
    Lavens & Sorgeloos (1996), FAO Fish. Tech. Pap. 361, sect. 4.2-4.3.
    """
    for value, field in ((nauplii, "nauplii"), (nauplii_per_g, "nauplii_per_g")):
        if not 0 < value < inf:
            raise Problem(f"{value:g} cannot be; give a number above 0", field)
    hours = hatch_hours(temperature_c)
    cysts = nauplii / nauplii_per_g
    litres = cysts / CYSTS_G_PER_L
    start = ready - timedelta(hours=hours.slow)
    salt = litres * salt_per_kg_water(SALINITY_G_PER_KG)  # a litre of fresh water taken as a kilogram
    return Hatch(cysts, litres, salt, start, start + timedelta(hours=hours.quick), ready)
