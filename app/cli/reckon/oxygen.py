"""Subject ``oxygen``: dissolved oxygen at saturation."""

from typing import Any

from app.cli.reckon.fields import number_field
from app.cli.reckon.measures import celsius_field
from app.cli.reckon.shapes import object_of
from app.cli.reckon.subject import Output, Subject
from app.core.water.oxygen import saturation_mg_per_l

ACCEPTS = object_of(
    {
        "temperature_c": celsius_field(0, 40),
        "salinity_g_per_kg": number_field(0, 40, "g/kg"),
        "pressure_kpa": number_field(50, 110, "kPa of moist air (101.325 is one atmosphere)"),
    }
)
RETURNS = object_of({"saturation_mg_per_l": number_field(0, unit="mg/L")})


def run(item: dict[str, Any]) -> Output:
    """Reckon the saturation."""
    oxygen = saturation_mg_per_l(item["temperature_c"], item["salinity_g_per_kg"], item["pressure_kpa"])
    return {"saturation_mg_per_l": oxygen}


SUBJECT = Subject("oxygen", ACCEPTS, RETURNS, run)
