"""Subject ``ammonia``: the un-ionised share of total ammonia."""

from typing import Any

from app.cli.reckon.fields import number_field
from app.cli.reckon.measures import celsius_field
from app.cli.reckon.shapes import object_of
from app.cli.reckon.subject import Output, Subject
from app.core.water.ammonia import as_nh3, unionised_fraction, unionised_n

ACCEPTS = object_of(
    {
        "tan_mg_per_l": number_field(0, 10_000, "mg/L of total ammonia, as N"),
        "ph": number_field(4, 11, "pH, NBS scale"),
        "temperature_c": celsius_field(),
    }
)
RETURNS = object_of(
    {
        "nh3_fraction": number_field(0, 1),
        "nh3_n_mg_per_l": number_field(0, unit="mg/L, as N"),
        "nh3_mg_per_l": number_field(0, unit="mg/L, as NH3"),
    }
)


def run(item: dict[str, Any]) -> Output:
    """Split the total."""
    ph, celsius = item["ph"], item["temperature_c"]
    nitrogen = unionised_n(item["tan_mg_per_l"], ph, celsius)
    return {
        "nh3_fraction": unionised_fraction(ph, celsius),
        "nh3_n_mg_per_l": nitrogen,
        "nh3_mg_per_l": as_nh3(nitrogen),
    }


SUBJECT = Subject("ammonia", ACCEPTS, RETURNS, run)
