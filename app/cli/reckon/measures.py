"""Fields that several subjects share: tank volumes, shares of water, temperatures."""

from app.cli.reckon.fields import Field, number_field, optional
from app.core.problems import Problem

LEAST_LITRES, MOST_LITRES = 0.001, 1e7


def litres_field() -> Field[float]:
    """Declare the water of a tank."""
    return number_field(LEAST_LITRES, MOST_LITRES, "L")


def share_field() -> Field[float]:
    """Declare a share from 0 to 1."""
    return number_field(0, 1, "share of the water")


def celsius_field(low: float = 0, high: float = 45) -> Field[float]:
    """Declare a temperature of water."""
    return number_field(low, high, "°C")


# A change of water is given as a share or in litres; exactly one of the two.
CHANGED = {
    "fraction": optional(share_field()),
    "litres": optional(number_field(0, MOST_LITRES, "L")),
}
ONE_OF_CHANGED = (("fraction", "litres"),)


def share_changed(fraction: float | None, litres: float | None, tank_litres: float) -> float:
    """Return the share of the tank that a change replaces."""
    if fraction is not None:
        return fraction
    if litres is None or litres > tank_litres:
        raise Problem(f"{litres:g} L is more than the tank's {tank_litres:g} L; give less", "litres")
    return litres / tank_litres
