"""What a hydrometer's figure means in salt, and what salt will show on it."""

from app.core.cautions import Caution
from app.core.problems import Problem
from app.core.quantities import Units, show_temperature
from app.core.quantities.showing import trimmed
from app.core.water.seawater import (
    density_kg_per_m3,
    grams_per_litre,
    salinity_from_grams,
    salinity_from_gravity,
    specific_gravity,
)
from app.queries.bench.answers import Answer, Facts, fig, one_of

SCALES = (25.0, 20.0, 60.0 / 1.8 - 32.0 / 1.8, 4.0)
"""Reference temperatures printed on hydrometers: 25 °C, 20 °C, 60 °F and 4 °C."""
COARSE = Caution(
    "Below about 2 g/L a hydrometer tells little: one line is often more than a gram. Weigh the salt.",
    "Weak salt",
    "note",
)


def gravity(
    units: Units,
    *,
    shown: float | None,
    salinity_g_per_l: float | None,
    temperature_c: float,
    reference_c: float,
) -> Answer:
    """Turn specific gravity into salinity, or salinity into specific gravity."""
    if not one_of(shown, salinity_g_per_l):
        raise Problem("give either the specific gravity or the salinity, not both", "shown")
    if shown is not None:
        salinity = salinity_from_gravity(shown, temperature_c, reference_c)
        words = f"{_grams(salinity, temperature_c)}, or {trimmed(salinity, 2)} g/kg (ppt)."
    else:
        salinity = salinity_from_grams(salinity_g_per_l or 0.0, temperature_c)
        words = f"It floats at SG {specific_gravity(salinity, temperature_c, reference_c):.4f}."
    return Answer(
        words,
        (_scale(units, temperature_c, reference_c),),
        _working(salinity, temperature_c, reference_c),
        facts=(_other_scales(units, salinity, temperature_c),),
        cautions=(COARSE,) if salinity < 2 else (),
    )


def _grams(salinity: float, temperature_c: float) -> str:
    return f"{trimmed(grams_per_litre(salinity, temperature_c), 2)} g/L"


def _scale(units: Units, temperature_c: float, reference_c: float) -> str:
    water, scale = show_temperature(temperature_c, units), show_temperature(reference_c, units)
    return f"Water at {water}, on a hydrometer whose fresh water of {scale} is 1.000. Sea salts are assumed."


def _working(salinity: float, temperature_c: float, reference_c: float) -> tuple[str, ...]:
    salted, fresh = density_kg_per_m3(salinity, temperature_c), density_kg_per_m3(0.0, reference_c)
    return (
        f"ρ(S = {fig(salinity)} g/kg, {fig(temperature_c)} °C) = {salted:.3f} kg/m³",
        f"ρ(fresh, {fig(reference_c)} °C) = {fresh:.3f} kg/m³",
        f"SG = {salted:.3f} / {fresh:.3f} = {salted / fresh:.4f}",
        f"c = S·ρ / 1000 = {fig(salinity)} × {salted:.3f} / 1000 = {_grams(salinity, temperature_c)}",
    )


def _other_scales(units: Units, salinity: float, temperature_c: float) -> Facts:
    rows = tuple(
        (show_temperature(scale, units), f"{specific_gravity(salinity, temperature_c, scale):.4f}")
        for scale in SCALES
    )
    return Facts("Read on a scale made for", rows)
