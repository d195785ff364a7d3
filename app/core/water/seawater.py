"""How dense salt water is, and what a hydrometer's figure means."""

from math import sqrt

from app.core.method import Method
from app.core.problems import Problem

SALTIEST, COLDEST_C, WARMEST_C = 42.0, -2.0, 40.0  # the range of the published equation
T68_PER_T90 = 1.00024  # Saunders (1990): the temperature scale the equation was fitted on

# Fofonoff & Millard (1983), UNESCO Technical Papers in Marine Science 44, p. 17-19.
PURE = (999.842594, 6.793952e-2, -9.095290e-3, 1.001685e-4, -1.120083e-6, 6.536332e-9)
LINEAR = (8.24493e-1, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9)
THREE_HALVES = (-5.72466e-3, 1.0227e-4, -1.6546e-6)
SQUARE = 4.8314e-4

METHOD = Method(
    "seawater",
    "Density, specific gravity and salinity",
    (
        "Salt water is denser than fresh; a hydrometer floats by the density and prints it as a ratio.",
        "The ratio means nothing without its reference temperature.",
        "25/25 and 25/4 differ by 0.003, which reads as four grams per litre.",
    ),
    (
        "ρ(S, t) = ρ₀(t) + A(t)·S + B(t)·S^1.5 + C·S²  (EOS-80 at one atmosphere, t₆₈ = 1.00024·t₉₀)",
        "SG(t / t_ref) = ρ(S, t) / ρ(0, t_ref)",
    ),
    (
        "Fofonoff & Millard (1983), UNESCO Technical Papers in Marine Science 44",
        "Saunders (1990), for the temperature scale",
    ),
    "The salts of sea water are assumed; pure table salt differs by a few per cent.",
)


def eos80(salinity: float, t68_c: float) -> float:
    """Density of sea water at one atmosphere, kg/m³, on the 1968 temperature scale.

    Parameters
    ----------
    salinity : float
        Practical salinity, 0 to 42.
    t68_c : float
        °C, IPTS-68.

    References
    ----------
    Fofonoff & Millard (1983), UNESCO Tech. Pap. Mar. Sci. 44:17-19.
    """
    linear, halves = _polynomial(LINEAR, t68_c), _polynomial(THREE_HALVES, t68_c)
    return (
        _polynomial(PURE, t68_c)
        + linear * salinity
        + halves * salinity * sqrt(salinity)
        + SQUARE * salinity**2
    )


def density_kg_per_m3(salinity_g_per_kg: float, temperature_c: float) -> float:
    """Density of sea water at one atmosphere, kg/m³.

    Practical salinity is read as g/kg, as hydrometers and refractometers for aquaria print it
    (the mass of salts is 0.5 % more).

    Parameters
    ----------
    salinity_g_per_kg : float
        0 to 42.
    temperature_c : float
        Degrees Celsius (ITS-90), -2 to 40.

    Raises
    ------
    Problem
        If either is outside the range of the equation.

    References
    ----------
    Fofonoff & Millard (1983), UNESCO Tech. Pap. Mar. Sci. 44.
    """
    _check_salinity(salinity_g_per_kg)
    _check_temperature(temperature_c, "temperature_c")
    return eos80(salinity_g_per_kg, temperature_c * T68_PER_T90)


def specific_gravity(salinity_g_per_kg: float, temperature_c: float, reference_c: float) -> float:
    """Density relative to fresh water at the reference temperature, ``ρ(S, t) / ρ(0, t_ref)``.

    Parameters
    ----------
    salinity_g_per_kg : float
        0 to 42.
    temperature_c, reference_c : float
        Of the water and of the hydrometer's scale, °C.

    Raises
    ------
    Problem
        If a value is outside the range of the equation.

    References
    ----------
    Fofonoff & Millard (1983), UNESCO Tech. Pap. Mar. Sci. 44.
    """
    _check_temperature(reference_c, "reference_c")
    fresh = eos80(0.0, reference_c * T68_PER_T90)
    return density_kg_per_m3(salinity_g_per_kg, temperature_c) / fresh


def salinity_from_gravity(gravity: float, temperature_c: float, reference_c: float) -> float:
    """Salinity in g/kg from a hydrometer's figure: the inverse of :func:`specific_gravity`.

    Parameters
    ----------
    gravity : float
        Such as 1.005.
    temperature_c, reference_c : float
        Of the water and of the hydrometer's scale, °C.

    Raises
    ------
    Problem
        If the figure belongs to no salinity from 0 to 42 g/kg at these temperatures.

    References
    ----------
    Inverse of Fofonoff & Millard (1983) by bisection; the density rises with salinity.
    """
    low, high = 0.0, SALTIEST
    lightest = specific_gravity(low, temperature_c, reference_c)
    heaviest = specific_gravity(high, temperature_c, reference_c)
    if not lightest - 5e-5 <= gravity <= heaviest:
        raise Problem(
            f"{gravity:g} cannot be at {temperature_c:g} °C on a {reference_c:g} °C scale; "
            f"give {lightest:.4f} to {heaviest:.4f}",
            "specific_gravity",
        )
    while high - low > 1e-10:
        middle = (low + high) / 2.0
        if specific_gravity(middle, temperature_c, reference_c) < gravity:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def grams_per_litre(salinity_g_per_kg: float, temperature_c: float) -> float:
    """Grams of salt per litre of the water, ``S·ρ/1000``.

    Parameters
    ----------
    salinity_g_per_kg : float
        0 to 42.
    temperature_c : float
        Degrees Celsius, -2 to 40.

    Raises
    ------
    Problem
        If a value is outside the range of the equation.
    """
    return salinity_g_per_kg * density_kg_per_m3(salinity_g_per_kg, temperature_c) / 1000.0


def salinity_from_grams(g_per_l: float, temperature_c: float) -> float:
    """Salinity in g/kg from grams of salt per litre: the inverse of :func:`grams_per_litre`.

    Parameters
    ----------
    g_per_l : float
        0 to 42.
    temperature_c : float
        Degrees Celsius, -2 to 40.

    Raises
    ------
    Problem
        If a value is outside the range of the equation.

    References
    ----------
    Fixed point of ``S = 1000·c / ρ(S, t)``; each round is closer by a factor of more than twenty.
    """
    salinity = g_per_l
    for _ in range(12):
        salinity = 1000.0 * g_per_l / density_kg_per_m3(salinity, temperature_c)
    return salinity


def _polynomial(coefficients: tuple[float, ...], at: float) -> float:
    total = 0.0
    for coefficient in reversed(coefficients):
        total = total * at + coefficient
    return total


def _check_salinity(salinity: float) -> None:
    if not 0.0 <= salinity <= SALTIEST:
        raise Problem(f"{salinity:g} g/kg cannot be used; give 0 to {SALTIEST:g}", "salinity_g_per_kg")


def _check_temperature(celsius: float, field: str) -> None:
    if not COLDEST_C <= celsius <= WARMEST_C:
        fahrenheit = " (°F?)" if celsius > WARMEST_C else ""
        raise Problem(f"{celsius:g} °C{fahrenheit} is outside {COLDEST_C:g} to {WARMEST_C:g} °C", field)
