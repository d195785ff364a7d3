"""What people type, and what they read, against the SI units that are stored."""

from app.core.quantities.parsing import (
    parse_hardness,
    parse_length,
    parse_mass,
    parse_share,
    parse_temperature,
    parse_volume,
)
from app.core.quantities.saltiness import parse_salinity
from app.core.quantities.showing import (
    show_hardness,
    show_length,
    show_mass,
    show_salinity,
    show_share,
    show_temperature,
    show_volume,
)
from app.core.quantities.units import Units

__all__ = [
    "Units",
    "parse_hardness",
    "parse_length",
    "parse_mass",
    "parse_salinity",
    "parse_share",
    "parse_temperature",
    "parse_volume",
    "show_hardness",
    "show_length",
    "show_mass",
    "show_salinity",
    "show_share",
    "show_temperature",
    "show_volume",
]
