"""From what people type to a dose and to a level: ``5 g``, ``1 tbsp``, ``1 mL per 40 L``, ``12 mg/L``."""

from app.core.problems import Problem
from app.core.quantities.figures import split
from app.core.quantities.parsing import parse_mass, parse_volume, per_water
from app.core.quantities.units import SPOON_ML, US_TBSP_ML, Units
from app.core.water.levels import Measure

FEW = {Measure.GRAM: "5 g", Measure.MILLILITRE: "3 mL", Measure.PIECE: "2"}
DROPS = {"drop", "drops"}
SPOONS_ML = {
    **dict.fromkeys(("tsp", "teaspoon", "teaspoons"), US_TBSP_ML / 3.0),
    **dict.fromkeys(("tbsp", "tablespoon", "tablespoons"), US_TBSP_ML),
    **SPOON_ML,
}
PIECES = {"", "piece", "pieces", "tablet", "tablets", "tab", "tabs", "capsule", "capsules", *DROPS}
EXAMPLES = {
    Measure.GRAM: "12 mg/L or 1 g per 40 L",
    Measure.MILLILITRE: "1 mL per 40 L",
    Measure.PIECE: "1 per 40 L",
}


def parse_amount(
    text: str,
    measure: Measure,
    units: Units = Units.METRIC,
    field: str = "amount",
    *,
    of_salt: bool = False,
) -> float:
    """Return an amount in a substance's own measure.

    Parameters
    ----------
    text : str
        ``5 g``, ``500 mg``, ``1 tbsp`` of table salt; ``3 mL`` or ``1 tsp``; ``2 tablets``. A bare number is
        in the measure.
    measure : Measure
        What the substance is measured in.
    units : Units
        The keeper's units.
    field : str
        Name for the error.
    of_salt : bool
        Whether spoons may be read, by the weight of table salt.

    Raises
    ------
    Problem
        If it is none, or not above zero.
    """
    if measure is Measure.GRAM:
        return parse_mass(text, units, field, of_salt=of_salt)
    number, words = split(text, field, FEW[measure])
    if measure is Measure.MILLILITRE:
        if words in DROPS:
            raise Problem("drops differ: count how many make 1 mL, often about 20, and give mL", field)
        typed = f"{number * SPOONS_ML[words]} mL" if words in SPOONS_ML else text if words else f"{text} mL"
        return parse_volume(typed, units, field) * 1000.0
    if words not in PIECES or number <= 0:
        raise Problem(f"{text.strip()!r} is no number of pieces; give one such as 2", field)
    return number


def parse_per_litre(text: str, measure: Measure, units: Units = Units.METRIC, field: str = "level") -> float:
    """Return a level or a label's dose: units of the measure in a litre.

    Parameters
    ----------
    text : str
        ``1 mL per 40 L``, ``1 tablet in 10 gal``, ``12 mg/L``, ``1.5 g/L``.
    measure : Measure
        What the substance is measured in.
    units : Units
        The keeper's units, for a bare ``gal``.
    field : str
        Name for the error.

    Raises
    ------
    Problem
        If the water is missing, or either part is not above zero.
    """
    parts = per_water(text)
    if parts is None:
        raise Problem(f"{text.strip()!r}: in how much water? Write {EXAMPLES[measure]}", field)
    amount, water = parts
    return parse_amount(amount, measure, units, field) / parse_volume(water, units, field)
