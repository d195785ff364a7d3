"""How a level in the water, and the amount that makes it, are said: each in the unit people use."""

from enum import StrEnum

from app.core.quantities.showing import short, show_mass, trimmed
from app.core.water.ledger import Held
from app.core.wording import many


class Measure(StrEnum):
    """What a dose is measured in, and so its level in a litre."""

    GRAM = "g"
    MILLILITRE = "mL"
    PIECE = "piece"


HELD_UNITS = {Held.SALT: "g/L", Held.GH: "°dH", Held.KH: "°dH", Held.NITRATE: "mg/L"}
DECIMALS = {Held.SALT: 2, Held.GH: 1, Held.KH: 1, Held.NITRATE: 0}


def show_held(held: Held, level: float) -> str:
    """Return such as ``2.4 g/L``, ``8 °dH`` or ``20 mg/L``."""
    return f"{trimmed(level, DECIMALS[held])} {HELD_UNITS[held]}"


def show_level(level: float, measure: Measure) -> str:
    """Return a substance's level: ``12 mg/L`` or ``1.5 g/L`` by weight, else for each 100 litres."""
    if measure is Measure.GRAM:
        return f"{short(level)} g/L" if level >= 1 else f"{short(level * 1000)} mg/L"
    return f"{show_amount(level * 100, measure)} per 100 L"


def show_amount(amount: float, measure: Measure) -> str:
    """Return an amount: ``40 g``, ``3.5 mL``, ``2 pieces``."""
    if measure is Measure.GRAM:
        return show_mass(amount) if amount >= 1 else f"{short(amount * 1000)} mg"
    if measure is Measure.MILLILITRE:
        return f"{short(amount)} mL"
    return many(int(amount), "piece") if amount == int(amount) else f"{short(amount)} pieces"


def day_count(days: float) -> str:
    """Return such as ``3 days``, ``1 day`` or ``0.5 days``."""
    return many(int(days), "day") if days == int(days) else f"{short(days)} days"
