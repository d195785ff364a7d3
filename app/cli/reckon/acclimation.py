"""Subject ``acclimation``: dated steps from one water to another."""

from typing import Any

from app.cli.reckon.fields import Field, date_field, described, nullable, number_field, optional
from app.cli.reckon.measures import celsius_field, share_field
from app.cli.reckon.shapes import list_of, object_of
from app.cli.reckon.subject import Output, Subject
from app.core.water.acclimation import Limits, WaterState, plan

KNOWN: dict[str, Field[float]] = {
    "salinity_g_per_l": number_field(0, 317, "g/L"),
    "gh_dh": number_field(0, 1000, "°dH"),
    "temperature_c": celsius_field(),
}
LEAST = 0.001  # a day; slower would take years
MAYBE = {key: nullable(field) for key, field in KNOWN.items()}
WATER = object_of({key: optional(field) for key, field in MAYBE.items()}, WaterState)
LIMITS = object_of(
    {
        "salinity_g_per_l": optional(number_field(LEAST, unit="g/L a day"), Limits().salinity_g_per_l),
        "gh_dh": optional(number_field(LEAST, unit="°dH a day"), Limits().gh_dh),
        "temperature_c": optional(number_field(LEAST, unit="°C a day"), Limits().temperature_c),
    },
    Limits,
)
ACCEPTS = object_of(
    {
        "from": described(WATER, "the water they were raised in; what is not known may be left out"),
        "to": described(WATER, "the tank's water"),
        "limits_per_day": LIMITS,
        "start": described(date_field(), "day of the first step"),
    }
)
STEP = object_of({"date": date_field(), **MAYBE, "replace_fraction": share_field()})
RETURNS = object_of({"steps": described(list_of(STEP), "one a day; empty when the waters are alike")})


def run(item: dict[str, Any]) -> Output:
    """Plan the steps."""
    steps = plan(item["from"], item["to"], item["limits_per_day"], item["start"])
    return {
        "steps": [
            {
                "date": step.day,
                "salinity_g_per_l": step.water.salinity_g_per_l,
                "gh_dh": step.water.gh_dh,
                "temperature_c": step.water.temperature_c,
                "replace_fraction": step.share,
            }
            for step in steps
        ]
    }


SUBJECT = Subject("acclimation", ACCEPTS, RETURNS, run)
