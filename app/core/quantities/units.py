"""The units people type, by their many spellings, and what each is in SI."""

from decimal import Decimal
from enum import StrEnum
from functools import lru_cache
from typing import Any

from app.core.problems import Problem


class Units(StrEnum):
    """What a keeper reads and types when no unit is written.

    IMPERIAL is the British habit: imperial gallons and inches, but degrees Celsius.
    """

    METRIC = "metric"
    US = "us"
    IMPERIAL = "imperial"


VOLUMES = {
    "l": "litre",
    "ltr": "litre",
    "litre": "litre",
    "liter": "litre",
    "ml": "millilitre",
    "millilitre": "millilitre",
    "milliliter": "millilitre",
    "us gal": "gallon",
    "us gallon": "gallon",
    "imp gal": "imperial_gallon",
    "imp gallon": "imperial_gallon",
    "imperial gal": "imperial_gallon",
    "imperial gallon": "imperial_gallon",
    "uk gal": "imperial_gallon",
    "uk gallon": "imperial_gallon",
    "us qt": "quart",
    "us quart": "quart",
    "imp qt": "imperial_quart",
    "uk qt": "imperial_quart",
    "us fl oz": "fluid_ounce",
    "uk fl oz": "imperial_fluid_ounce",
    "imp fl oz": "imperial_fluid_ounce",
}
PLAIN_VOLUMES = {"gal": "gal", "gallon": "gal", "qt": "qt", "quart": "qt", "fl oz": "fl oz"}
GALLON = {Units.METRIC: "us", Units.US: "us", Units.IMPERIAL: "imp"}

LENGTHS = {
    "mm": "millimetre",
    "millimetre": "millimetre",
    "millimeter": "millimetre",
    "cm": "centimetre",
    "centimetre": "centimetre",
    "centimeter": "centimetre",
    "m": "metre",
    "metre": "metre",
    "meter": "metre",
    "in": "inch",
    "inch": "inch",
    "inche": "inch",  # inches, less its s
    '"': "inch",
    "″": "inch",
    "”": "inch",
    "''": "inch",
    "ft": "foot",
    "foot": "foot",
    "feet": "foot",
    "'": "foot",
    "′": "foot",
}

MASSES = {
    "g": "gram",
    "gr": "gram",
    "gram": "gram",
    "gramme": "gram",
    "kg": "kilogram",
    "kilo": "kilogram",
    "kilogram": "kilogram",
    "mg": "milligram",
    "oz": "ounce",
    "ounce": "ounce",
    "lb": "pound",
    "pound": "pound",
}

# USDA National Nutrient Database SR Legacy, "Salt, table" (NDB 02047): household weights.
TSP_G, TBSP_G, CUP_G = 6.0, 18.0, 292.0
US_TBSP_ML = 14.78676478125  # half a US fluid ounce, exact (NIST SP 811, App. B)
SALT_G_PER_ML = TBSP_G / US_TBSP_ML
SPOON_ML = {"metric tsp": 5.0, "metric tbsp": 15.0, "au tbsp": 20.0}  # Australia's is a third larger

SALT_SPOONS_G = {
    "tsp": TSP_G,
    "teaspoon": TSP_G,
    "tbsp": TBSP_G,
    "tbs": TBSP_G,
    "tablespoon": TBSP_G,
    "cup": CUP_G,
    **{spoon: ml * SALT_G_PER_ML for spoon, ml in SPOON_ML.items()},
}


def known(words: str, table: dict[str, str], example: str, field: str) -> str:
    """Return the unit that ``words`` mean in ``table``, without dots or a plural s."""
    plain = words.replace(".", "").strip()
    found = table.get(plain) or table.get(plain.removesuffix("s"))
    if found is None:
        raise Problem(f"{words!r} is not a unit known here; give an amount such as {example}", field)
    return found


@lru_cache
def factor(unit: str, target: str) -> float:
    """Return how many ``target`` one ``unit`` is, by pint's tables (exact decimals)."""
    if unit == target:
        return 1.0
    return float(_registry().Quantity(Decimal(1), unit).to(target).magnitude)


@lru_cache(maxsize=1)
def _registry() -> Any:  # noqa: ANN401 (pint's registry is typed as a chain of generics)
    import pint  # noqa: PLC0415 (costs half a second; most runs never need it)

    return pint.UnitRegistry(non_int_type=Decimal)
