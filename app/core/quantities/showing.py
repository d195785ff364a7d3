"""From SI to what a keeper reads: short figures in the keeper's own units."""

from app.core.quantities.units import Units, factor
from app.core.water.units import MG_L_CACO3_PER_DH


def show_volume(litres: float, units: Units = Units.METRIC) -> str:
    """Return such as ``38 L``, ``10 US gal`` or ``8.3 imp gal``."""
    if units is Units.METRIC:
        return f"{short(litres)} L" if litres >= 1 else f"{short(litres * 1000)} mL"
    name, unit = ("US gal", "gallon") if units is Units.US else ("imp gal", "imperial_gallon")
    return f"{short(litres / factor(unit, 'litre'))} {name}"


def show_length(mm: float, units: Units = Units.METRIC) -> str:
    """Return such as ``7.5 mm`` or ``0.3 in``."""
    if units is Units.METRIC:
        return f"{short(mm)} mm"
    return f"{trimmed(mm / factor('inch', 'millimetre'), 2)} in"


def show_temperature(celsius: float, units: Units = Units.METRIC) -> str:
    """Return such as ``24.5 °C`` or ``76.1 °F``."""
    if units is Units.US:
        return f"{trimmed(celsius * 9.0 / 5.0 + 32.0, 1)} °F"
    return f"{trimmed(celsius, 1)} °C"


def show_mass(grams: float) -> str:
    """Return such as ``5 g`` or ``1.25 kg``; scales in fishrooms weigh grams everywhere."""
    return f"{short(grams)} g" if grams < 1000 else f"{trimmed(grams / 1000, 2)} kg"


def show_salinity(g_per_l: float) -> str:
    """Return such as ``2.4 g/L``."""
    return f"{trimmed(g_per_l, 2 if g_per_l < 1 else 1)} g/L"


def show_hardness(degrees: float, units: Units = Units.METRIC) -> str:
    """Return such as ``8 °dH``, for a US keeper with the ppm as CaCO3 beside it."""
    shown = f"{trimmed(degrees, 1)} °dH"
    return shown if units is not Units.US else f"{shown} ({degrees * MG_L_CACO3_PER_DH:.0f} ppm)"


def show_share(share: float) -> str:
    """Return such as ``30 %``."""
    return f"{short(share * 100)} %"


def short(number: float) -> str:
    """Return three figures or so: two decimals below 1, one below 100, none above."""
    size = abs(number)
    return trimmed(number, 2 if size < 1 else 1 if size < 100 else 0)


def trimmed(number: float, decimals: int) -> str:
    """Return ``number`` rounded, without idle zeros and without a minus before nothing."""
    text = f"{number:.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text
