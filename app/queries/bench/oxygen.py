"""How much oxygen air-saturated water holds, and how near to it a measured figure is."""

from app.core.cautions import Caution
from app.core.problems import Problem
from app.core.quantities import Units, show_salinity, show_temperature
from app.core.quantities.showing import trimmed
from app.core.water.oxygen import ATMOSPHERE_KPA, pressure_at, saturation_mg_per_l
from app.core.water.seawater import salinity_from_grams
from app.queries.bench.answers import Answer, Facts, fig

LOW_MG_PER_L = 5.0  # common practice, no source
FOOT_M = 0.3048
WARMER = (20.0, 22.0, 24.0, 26.0, 28.0, 30.0)

GASPING = Caution(
    "Fish at the surface before dawn need air now: move the surface, add an air stone, feed less, keep "
    "fewer.",
    "Gasping fish",
)


def saturation(
    units: Units, temperature_c: float, salinity_g_per_l: float, height_m: float, measured: float | None
) -> Answer:
    """Reckon oxygen at saturation; with a measured figure, its share of it."""
    pressure = pressure_at(height_m)
    salinity = salinity_from_grams(salinity_g_per_l, temperature_c)
    full = saturation_mg_per_l(temperature_c, salinity, pressure)
    return Answer(
        f"Saturated water holds {trimmed(full, 2)} mg/L of oxygen.",
        (_where(units, temperature_c, salinity_g_per_l, height_m), *_measured(measured, full)),
        (*_working(temperature_c, salinity, pressure, height_m), *_share_line(measured, full)),
        facts=(_by_warmth(units, salinity, pressure),),
        cautions=(GASPING,) if measured is not None and measured < LOW_MG_PER_L else (),
    )


def _where(units: Units, temperature_c: float, salinity_g_per_l: float, height_m: float) -> str:
    salt = f"with {show_salinity(salinity_g_per_l)} of salt" if salinity_g_per_l else "fresh"
    return f"At {show_temperature(temperature_c, units)}, {salt}, {height_words(units, height_m)}."


def height_words(units: Units, height_m: float) -> str:
    """Return a height as the keeper would say it."""
    if height_m == 0:
        return "at sea level"
    figure = f"{height_m:.0f} m" if units is Units.METRIC else f"{height_m / FOOT_M:.0f} ft"
    return f"{figure} above the sea"


def _measured(measured: float | None, full: float) -> tuple[str, ...]:
    if measured is None:
        return ()
    if measured > 3 * full:
        raise Problem(f"{fig(measured)} mg/L is more than water can hold; check the figure", "measured")
    low = f" Below {LOW_MG_PER_L:g} mg/L fish begin to suffer (common practice, no source)."
    return (
        f"Your {fig(measured)} mg/L is {100 * measured / full:.0f} % of that."
        + (low if measured < LOW_MG_PER_L else ""),
    )


def _share_line(measured: float | None, full: float) -> tuple[str, ...]:
    return () if measured is None else (f"{fig(measured)} / {fig(full)} = {100 * measured / full:.0f} %",)


def _working(temperature_c: float, salinity: float, pressure: float, height_m: float) -> tuple[str, ...]:
    fresh = saturation_mg_per_l(temperature_c)
    salted = saturation_mg_per_l(temperature_c, salinity)
    full = saturation_mg_per_l(temperature_c, salinity, pressure)
    lines = [f"fresh, at one atmosphere: C(T = {temperature_c + 273.15:.2f} K) = {fig(fresh)} mg/L"]
    if salinity:
        lines.append(f"salt, S = {fig(salinity)} g/kg: × {fig(salted / fresh)} = {fig(salted)} mg/L")
    if height_m:
        share = f"(1 − 0.0065 × {height_m:.0f} / 288.15)^5.25588"
        lines.append(f"P = {ATMOSPHERE_KPA:g} × {share} = {fig(pressure)} kPa")
        lines.append(f"thinner air: × {fig(full / salted)} = {fig(full)} mg/L")
    return tuple(lines)


def _by_warmth(units: Units, salinity: float, pressure: float) -> Facts:
    rows = tuple(
        (show_temperature(celsius, units), f"{saturation_mg_per_l(celsius, salinity, pressure):.2f} mg/L")
        for celsius in WARMER
    )
    return Facts("The same water, cooler and warmer", rows)
