"""From what people type to SI: volumes, lengths, temperatures, masses, hardness and shares."""

import re

from app.core.problems import Problem
from app.core.quantities.figures import split
from app.core.quantities.units import (
    GALLON,
    LENGTHS,
    MASSES,
    PLAIN_VOLUMES,
    SALT_SPOONS_G,
    VOLUMES,
    Units,
    factor,
    known,
)
from app.core.water.units import GRAIN_PER_US_GALLON_MG_L, MG_L_CACO3_PER_DH, MMOL_PER_DH

COLDEST_C, HOTTEST_C = 0.0, 45.0
HARDEST_BARE_DH = 60.0  # beyond any water livebearers are kept in; a larger bare figure is ppm
PER = re.compile(r"(?P<amount>.+?)\s*(?:/|\bper\b|\bin\b|\bfor\b|\bto\b)\s*(?P<water>.+)", re.IGNORECASE)


def parse_volume(text: str, units: Units = Units.METRIC, field: str = "volume") -> float:
    """Return litres.

    Parameters
    ----------
    text : str
        Such as ``38 L``, ``10 gal``, ``10 imp gal``. A bare number is litres for a metric keeper
        and the keeper's own gallons otherwise; ``gal`` alone is imperial only for IMPERIAL.
    units : Units
        The keeper's units.
    field : str
        Name for the error.

    Raises
    ------
    Problem
        If it is no volume, or not above zero.
    """
    number, words = split(text, field, "38 L or 10 gal")
    plain = words.replace(".", "")
    short = PLAIN_VOLUMES.get(plain) or PLAIN_VOLUMES.get(plain.removesuffix("s"))
    if not words:
        words = "l" if units is Units.METRIC else f"{GALLON[units]} gal"
    elif short:
        words = f"{GALLON[units]} {short}"
    unit = known(words, VOLUMES, "38 L, 10 gal or 10 imp gal", field)
    return _above_zero(number * factor(unit, "litre"), text, field)


def parse_length(text: str, units: Units = Units.METRIC, field: str = "length") -> float:
    """Return millimetres; a bare number is mm for a metric keeper and inches otherwise.

    Raises
    ------
    Problem
        If it is no length, or not above zero.
    """
    number, words = split(text, field, "7.5 mm or 0.3 in")
    bare = "mm" if units is Units.METRIC else "in"
    unit = known(words or bare, LENGTHS, '7.5 mm, 2.5 cm, 0.3 in or 3/4"', field)
    return _above_zero(number * factor(unit, "millimetre"), text, field)


def parse_temperature(text: str, units: Units = Units.METRIC, field: str = "temperature") -> float:
    """Return °C; a bare number is °F for a US keeper and °C otherwise.

    Raises
    ------
    Problem
        If it is no temperature, or outside 0 to 45 °C, with the other scale as the way out.
    """
    number, words = split(text, field, "24.5 or 76 F")
    scale = _scale(words, units, text, field)
    celsius = (number - 32.0) * 5.0 / 9.0 if scale == "F" else number
    if COLDEST_C <= celsius <= HOTTEST_C:
        return celsius
    other = "C" if scale == "F" else "F"
    as_other = (number - 32.0) * 5.0 / 9.0 if other == "F" else number
    if COLDEST_C <= as_other <= HOTTEST_C:
        raise Problem(
            f"{number:g} °{scale} cannot be a tank; °{other}? Then type {number:g} {other} "
            "(18 to 31 °C, 64 to 88 °F is usual)",
            field,
        )
    raise Problem(f"{text.strip()!r} cannot be a tank; give 0 to 45 °C or 32 to 113 °F", field)


def parse_mass(
    text: str,
    units: Units = Units.METRIC,  # noqa: ARG001 (all keepers' scales weigh grams; kept alike for the forms)
    field: str = "mass",
    *,
    of_salt: bool = False,
) -> float:
    """Return grams; a bare number is grams; spoons and cups are read for table salt only.

    Raises
    ------
    Problem
        If it is no mass, not above zero, or a spoon of something other than salt.
    """
    number, words = split(text, field, "5 g")
    spoon = words.replace(".", "")
    spoon_g = SALT_SPOONS_G.get(spoon) or SALT_SPOONS_G.get(spoon.removesuffix("s"))
    if spoon_g is None:
        unit = known(words or "g", MASSES, "5 g, 1 oz" + (" or 1 tbsp" if of_salt else ""), field)
        return _above_zero(number * factor(unit, "gram"), text, field)
    if not of_salt:
        raise Problem("a spoon holds a different weight of each thing; weigh it and give grams", field)
    return _above_zero(number * spoon_g, text, field)


def parse_hardness(text: str, units: Units = Units.METRIC, field: str = "hardness") -> float:  # noqa: ARG001
    """Return German degrees (°dH); ``ppm`` and ``mg/L`` mean as CaCO3; a bare number is °dH.

    Raises
    ------
    Problem
        If it is no hardness, below zero, or a bare number that must have been ppm.
    """
    number, words = split(text, field, "8 dH or 140 ppm")
    if number < 0:
        raise Problem(f"{text.strip()!r} is below zero; give an amount such as 8 dH", field)
    if not words and number > HARDEST_BARE_DH:
        raise Problem(f"{number:g} °dH is too hard for any tank; ppm? Then type {number:g} ppm", field)
    return number * _degrees(words, field)


def per_water(text: str) -> tuple[str, str] | None:
    """Return the parts of ``1 mL per 40 L`` or ``1 tbsp/gal``: the amount, and how much water; else None."""
    found = PER.fullmatch(text.strip())
    if found is None:
        return None
    water = found["water"].strip()
    return found["amount"], water if water[0].isdigit() else f"1 {water}"


def parse_share(text: str, litres: float | None, units: Units = Units.METRIC, field: str = "share") -> float:
    """Return the share of a tank of ``litres``, 0 to 1, from ``50 %`` or a volume such as ``5 gal``.

    Without ``litres`` it is a share of any tank, and only per cent are read.

    Raises
    ------
    Problem
        If it is neither, or not above zero, or more than the tank holds.
    """
    number, words = split(text, field, "30 % or 5 gal")
    if words in {"%", "percent"}:
        share = number / 100.0
    elif litres is None:
        raise Problem(f"{text.strip()!r} is no share of the water; give one such as 30 %", field)
    else:
        share = parse_volume(text, units, field) / litres
    if not 0 < share <= 1:
        of = f"part of a {litres:g} L tank" if litres is not None else "a share of the water"
        raise Problem(f"{text.strip()!r} is not {of}; give 1 to 100 %", field)
    return share


def _degrees(words: str, field: str) -> float:
    plain = words.replace("°", "").replace("º", "").replace(" caco3", "").strip()
    degrees = {
        **dict.fromkeys(("", "d", "dh", "dgh", "dkh", "gh", "kh", "deg", "degree", "degrees"), 1.0),
        **dict.fromkeys(("ppm", "mg/l"), 1.0 / MG_L_CACO3_PER_DH),
        **dict.fromkeys(("gpg", "grains"), GRAIN_PER_US_GALLON_MG_L / MG_L_CACO3_PER_DH),
        "mmol/l": 1.0 / MMOL_PER_DH,
    }
    if plain not in degrees:
        raise Problem(f"{words!r} is not a unit of hardness; give 8 dH or 140 ppm", field)
    return degrees[plain]


def _scale(words: str, units: Units, text: str, field: str) -> str:
    plain = words.replace("°", "").replace("º", "").replace("deg", "").strip(" .")
    if not plain and units is Units.US:
        return "F"
    scales = {"": "C", "c": "C", "celsius": "C", "f": "F", "fahrenheit": "F"}
    if plain not in scales:
        raise Problem(f"{text.strip()!r} is not a temperature; give one such as 24.5 C or 76 F", field)
    return scales[plain]


def _above_zero(amount: float, text: str, field: str) -> float:
    if amount > 0:
        return amount
    raise Problem(f"{text.strip()!r} is not above zero; give an amount that is", field)
