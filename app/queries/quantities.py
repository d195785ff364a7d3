"""What each measured quantity is called, the unit it is kept in, and what can be."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from app.core.quantities import Units, show_hardness, show_temperature
from app.core.quantities.parsing import COLDEST_C, HOTTEST_C
from app.core.quantities.showing import trimmed
from app.core.water.seawater import SALTIEST
from app.store.readings import Quantity


@dataclass(frozen=True, slots=True)
class Kept:
    """How one quantity is kept: its title, its unit, the lowest and highest value, and decimals shown."""

    title: str
    unit: str
    lowest: float
    highest: float
    decimals: int

    def holds(self, value: float) -> bool:
        """Say whether a value can be."""
        return self.lowest <= value <= self.highest


KEPT: Mapping[Quantity, Kept] = MappingProxyType(
    {
        Quantity.TEMPERATURE: Kept("Temperature", "°C", COLDEST_C, HOTTEST_C, 1),
        Quantity.PH: Kept("pH", "", 3.0, 11.0, 2),
        Quantity.GH: Kept("GH", "°dH", 0.0, 100.0, 1),
        Quantity.KH: Kept("KH", "°dH", 0.0, 100.0, 1),
        Quantity.AMMONIA: Kept("Total ammonia (as N)", "mg/L", 0.0, 50.0, 2),
        Quantity.NITRITE: Kept("Nitrite", "mg/L", 0.0, 100.0, 2),
        Quantity.NITRATE: Kept("Nitrate", "mg/L", 0.0, 1000.0, 1),
        Quantity.SALINITY: Kept("Salinity", "g/L", 0.0, SALTIEST, 2),
    }
)


def show_reading(quantity: Quantity, value: float, units: Units = Units.METRIC) -> str:
    """Return a value in the unit people use: ``24.5 °C``, ``8 °dH``, ``0.25 mg/L``, ``7.4``."""
    if quantity is Quantity.TEMPERATURE:
        return show_temperature(value, units)
    if quantity in {Quantity.GH, Quantity.KH}:
        return show_hardness(value, units)
    kept = KEPT[quantity]
    return f"{trimmed(value, kept.decimals)} {kept.unit}".strip()


def say_reading(quantity: Quantity, value: float, units: Units = Units.METRIC) -> str:
    """Return the value with its name; a temperature needs none."""
    shown = show_reading(quantity, value, units)
    return shown if quantity is Quantity.TEMPERATURE else f"{quantity.value} {shown}"
