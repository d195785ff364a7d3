"""Subject ``seawater``: density and specific gravity from salinity, and back."""

from typing import Any

from app.cli.reckon.fields import described, number_field, optional
from app.cli.reckon.measures import celsius_field
from app.cli.reckon.shapes import object_of
from app.cli.reckon.subject import Output, Subject
from app.core.water.seawater import (
    COLDEST_C,
    SALTIEST,
    WARMEST_C,
    density_kg_per_m3,
    salinity_from_gravity,
    specific_gravity,
)

REFERENCE_C = 25.0
SALINITY = number_field(0, SALTIEST, "g/kg")
GRAVITY = number_field(0.9, 1.1, "relative to fresh water at reference_c")

ACCEPTS = object_of(
    {
        "salinity_g_per_kg": optional(SALINITY),
        "specific_gravity": optional(GRAVITY),
        "temperature_c": celsius_field(COLDEST_C, WARMEST_C),
        "reference_c": described(
            optional(celsius_field(COLDEST_C, WARMEST_C), REFERENCE_C),
            "°C of the hydrometer's scale, 25 unless given",
        ),
    },
    one_of=[("salinity_g_per_kg", "specific_gravity")],
)
RETURNS = object_of(
    {
        "density_kg_per_m3": optional(number_field(unit="kg/m³")),
        "specific_gravity": optional(GRAVITY),
        "salinity_g_per_kg": optional(SALINITY),
    }
)


def run(item: dict[str, Any]) -> Output:
    """Reckon from whichever is given to the other."""
    celsius, reference = item["temperature_c"], item["reference_c"]
    salinity = item["salinity_g_per_kg"]
    if salinity is None:
        return {"salinity_g_per_kg": salinity_from_gravity(item["specific_gravity"], celsius, reference)}
    return {
        "density_kg_per_m3": density_kg_per_m3(salinity, celsius),
        "specific_gravity": specific_gravity(salinity, celsius, reference),
    }


SUBJECT = Subject("seawater", ACCEPTS, RETURNS, run)
