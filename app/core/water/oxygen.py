"""How much oxygen water holds when it is saturated with air."""

from math import exp

from app.core.method import Method
from app.core.problems import Problem

ATMOSPHERE_KPA = 101.325
ZERO_C_IN_K = 273.15
HIGHEST_M = 5_000.0  # above it the pressure leaves the range of the saturation formula

# Benson & Krause (1984), Limnol. Oceanogr. 29:620, as given in USGS Office of Water Quality
# Technical Memorandum 2011.03 (mg/L, fresh water, one atmosphere of moist air).
FRESH = (-139.34411, 1.575701e5, -6.642308e7, 1.243800e10, -8.621949e11)

METHOD = Method(
    "oxygen",
    "Oxygen at saturation",
    (
        "Warm water, salt water and thin air hold less oxygen.",
        "It is the ceiling for an aerated tank; a crowded tank at night stays below it.",
    ),
    (
        "ln C = −139.34411 + 1.575701·10⁵/T − 6.642308·10⁷/T² + 1.2438·10¹⁰/T³ − 8.621949·10¹¹/T⁴",
        "salt: C·exp(−S·(0.017674 − 10.754/T + 2140.7/T²))",
        "pressure: C·P·(1 − u/P)(1 − θP) / ((1 − u)(1 − θ)), u the vapour pressure",
    ),
    ("Benson & Krause (1984), Limnol. Oceanogr. 29:620", "USGS OWQ Technical Memorandum 2011.03"),
)


def saturation_mg_per_l(
    temperature_c: float, salinity_g_per_kg: float = 0.0, pressure_kpa: float = ATMOSPHERE_KPA
) -> float:
    """Dissolved oxygen of air-saturated water, mg/L.

    Parameters
    ----------
    temperature_c : float
        Degrees Celsius, 0 to 40.
    salinity_g_per_kg : float
        0 to 40.
    pressure_kpa : float
        Of the moist air, 50 to 110; 101.325 is one atmosphere.

    Raises
    ------
    Problem
        If a value is outside its range.

    References
    ----------
    Benson & Krause (1984), Limnol. Oceanogr. 29:620; USGS OWQ Technical Memorandum 2011.03.
    """
    _check(temperature_c, salinity_g_per_kg, pressure_kpa)
    kelvin = temperature_c + ZERO_C_IN_K
    fresh = exp(sum(a / kelvin**power for power, a in enumerate(FRESH)))
    salt = exp(-salinity_g_per_kg * (0.017674 - 10.754 / kelvin + 2140.7 / kelvin**2))
    return fresh * salt * _pressure_factor(temperature_c, kelvin, pressure_kpa / ATMOSPHERE_KPA)


def pressure_at(height_m: float) -> float:
    """Usual air pressure in kPa at a height, ``101.325·(1 − 0.0065·h / 288.15)^5.25588``.

    Parameters
    ----------
    height_m : float
        Metres above the sea, -500 to 5000.

    Raises
    ------
    Problem
        If the height is outside that.

    References
    ----------
    ISO 2533:1975, Standard Atmosphere.
    """
    if not -500.0 <= height_m <= HIGHEST_M:
        raise Problem(f"{height_m:g} m cannot be used; give -500 to {HIGHEST_M:g} m", "height_m")
    return float(ATMOSPHERE_KPA * (1.0 - 0.0065 * height_m / 288.15) ** 5.25588)


def _pressure_factor(temperature_c: float, kelvin: float, pressure_atm: float) -> float:
    vapour = exp(11.8571 - 3840.70 / kelvin - 216961.0 / kelvin**2)
    theta = 0.000975 - 1.426e-5 * temperature_c + 6.436e-8 * temperature_c**2
    thin = (pressure_atm - vapour) * (1.0 - theta * pressure_atm)
    return thin / ((1.0 - vapour) * (1.0 - theta))


def _check(temperature_c: float, salinity: float, pressure_kpa: float) -> None:
    if not 0.0 <= temperature_c <= 40.0:
        fahrenheit = " (°F?)" if temperature_c > 45.0 else ""
        raise Problem(f"{temperature_c:g} °C{fahrenheit} cannot be used; give 0 to 40", "temperature_c")
    if not 0.0 <= salinity <= 40.0:
        raise Problem(f"{salinity:g} g/kg cannot be used; give 0 to 40", "salinity_g_per_kg")
    if not 50.0 <= pressure_kpa <= 110.0:
        hint = " (hPa or mbar?)" if 500 <= pressure_kpa <= 1100 else ""
        raise Problem(f"{pressure_kpa:g} kPa{hint} cannot be; give 50 to 110", "pressure_kpa")
