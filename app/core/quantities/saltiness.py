"""From a typed salinity to g/L: by weight, in parts per thousand, or by hydrometer."""

import re

from app.core.problems import Problem
from app.core.quantities.figures import split
from app.core.quantities.parsing import parse_mass, parse_volume, per_water
from app.core.water.seawater import SALTIEST, grams_per_litre, salinity_from_gravity

REFERENCE_C = 25.0
BY_SPOON = re.compile(r"(?:tb?sp?|spoons?|cups?)\.?$", re.IGNORECASE)
"""How an amount of table salt ends that is measured by the spoon."""
BARE_GRAVITY = re.compile(r"1[.,]0\d\d+")


def parse_salinity(
    text: str, reference_c: float = REFERENCE_C, field: str = "salinity", water_c: float | None = None
) -> float:
    """Return g/L from ``3 g/L``, ``2 ppt`` or ``SG 1.003``, or ``1 tbsp per gal``; a bare number is g/L.

    Parts per thousand are grams per kilogram of water; at the strengths used for livebearers
    they differ from g/L by less than one part in a hundred, and the density puts it right.

    Parameters
    ----------
    text : str
        What was typed.
    reference_c : float
        Temperature of the hydrometer's reference, °C.
    field : str
        Name for the error.
    water_c : float, optional
        Temperature of the water, °C; as the reference where nobody says.

    Raises
    ------
    Problem
        If it is no salinity, below zero, above 42 g/L, or a bare number that looks like a
        specific gravity.
    """
    warm = reference_c if water_c is None else water_c
    parts = per_water(text)
    if parts is not None and BY_SPOON.search(parts[0]):
        return parse_mass(parts[0], field=field, of_salt=True) / parse_volume(parts[1], field=field)
    plain, by_gravity = _without_sg(text)
    number, words = split(plain, field, "3 g/L, 2 ppt or SG 1.003")
    if by_gravity:
        return grams_per_litre(salinity_from_gravity(number, warm, reference_c), warm)
    if not words and BARE_GRAVITY.fullmatch(plain.strip()):
        raise Problem(f"{plain.strip()} looks like a specific gravity; type SG {number:g}", field)
    grams = _from_words(number, words, warm, field)
    if 0 <= grams <= SALTIEST:
        return grams
    raise Problem(f"{text.strip()!r} cannot be; give 0 to {SALTIEST:g} g/L", field)


def _without_sg(text: str) -> tuple[str, bool]:
    plain = re.sub(r"(?<![a-z])(sg|s\.g\.?|specific gravity)(?![a-z])", "", text, flags=re.IGNORECASE)
    return (plain, False) if plain == text else (plain.replace(",", "."), True)


def _from_words(number: float, words: str, reference_c: float, field: str) -> float:
    if words in {"", "g/l", "g per l", "g l-1"}:
        return number
    if words in {"mg/l", "ppm"}:
        return number / 1000.0
    if words in {"ppt", "‰", "psu", "g/kg"}:
        return grams_per_litre(number, reference_c) if 0 <= number <= SALTIEST else number
    raise Problem(f"{words!r} is not a unit of salinity; give 3 g/L, 2 ppt or SG 1.003", field)
