"""How much of the ammonia a test kit shows is the poisonous, un-ionised kind."""

from app.core.method import Method
from app.core.problems import Problem
from app.core.water.units import NH3_PER_N

ZERO_C_IN_K = 273.15

METHOD = Method(
    "ammonia",
    "Un-ionised ammonia",
    (
        "Kits show total ammonia; only the un-ionised part (NH₃) poisons fish.",
        "Its share rises tenfold with each pH step, and with temperature.",
        "Figures as nitrogen (N) and as whole molecules are kept apart.",
    ),
    ("f = 1 / (1 + 10^(pKa − pH)),  pKa = 0.09018 + 2729.92 / T",),
    ("Emerson, Russo, Lund & Thurston (1975), J. Fish. Res. Board Can. 32:2379",),
    "For fresh water; salt lowers the share a little. Change water first, then look for the cause.",
)


def pka(temperature_c: float) -> float:
    """Acidity constant of ammonium in fresh water, ``0.09018 + 2729.92 / T``.

    Parameters
    ----------
    temperature_c : float
        Degrees Celsius, 0 to 45.

    Raises
    ------
    Problem
        If the temperature is outside that.

    References
    ----------
    Emerson, Russo, Lund & Thurston (1975), J. Fish. Res. Board Can. 32:2379.
    """
    if not 0.0 <= temperature_c <= 45.0:
        fahrenheit = " (°F?)" if temperature_c > 45.0 else ""
        raise Problem(f"{temperature_c:g} °C{fahrenheit} cannot be; give 0 to 45", "temperature_c")
    return 0.09018 + 2729.92 / (ZERO_C_IN_K + temperature_c)


def unionised_fraction(ph: float, temperature_c: float) -> float:
    """Fraction of total ammonia present as NH3, ``1 / (1 + 10 ** (pKa − pH))``.

    Parameters
    ----------
    ph : float
        NBS scale, 4 to 11.
    temperature_c : float
        Degrees Celsius, 0 to 45.

    Raises
    ------
    Problem
        If a value is outside its range.

    References
    ----------
    Emerson, Russo, Lund & Thurston (1975), J. Fish. Res. Board Can. 32:2379.
    """
    if not 4.0 <= ph <= 11.0:
        raise Problem(f"pH {ph:g} cannot be a tank; give 4 to 11", "ph")
    return 1.0 / (1.0 + float(10.0 ** (pka(temperature_c) - ph)))


def unionised_n(tan_mg_per_l: float, ph: float, temperature_c: float) -> float:
    """Un-ionised ammonia in mg/L as nitrogen.

    Parameters
    ----------
    tan_mg_per_l : float
        Total ammonia as nitrogen, 0 up.
    ph, temperature_c : float
        As for :func:`unionised_fraction`.

    Raises
    ------
    Problem
        If a value is outside its range.
    """
    if not tan_mg_per_l >= 0:
        raise Problem(f"{tan_mg_per_l:g} mg/L is below zero; give 0 or more", "tan_mg_per_l")
    return tan_mg_per_l * unionised_fraction(ph, temperature_c)


def as_nh3(nitrogen_mg_per_l: float) -> float:
    """Turn mg/L as nitrogen into mg/L as NH3, ``× 1.21589``.

    Parameters
    ----------
    nitrogen_mg_per_l : float
        As N.
    """
    return nitrogen_mg_per_l * NH3_PER_N
