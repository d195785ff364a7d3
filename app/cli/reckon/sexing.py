"""Subject ``sexing``: when a batch can be sexed, and by when it must be split."""

from typing import Any

from app.cli.reckon.fields import date_field, described, number_field, optional, text_field
from app.cli.reckon.lengths import checks_field
from app.cli.reckon.shapes import list_of, object_of
from app.cli.reckon.stock import species_field, temperature_field
from app.cli.reckon.subject import Output, Subject
from app.core.sexing import SexingEvidence, forecast_sexing

ACCEPTS = object_of(
    {
        "species": species_field(),
        "born": date_field(),
        "today": date_field(),
        "temperature_c": optional(temperature_field()),
        "checks": optional(checks_field(), []),
    }
)
RETURNS = object_of(
    {
        "opens": described(date_field(), "half of the batch can be told"),
        "comfortable": described(date_field(), "nine in ten can be told"),
        "split_by": described(date_field(), "one male in twenty may be fertile"),
        "fraction_sexable_today": number_field(0, 1, "share of the batch"),
        "notes": list_of(text_field(500)),
    }
)


def run(item: dict[str, Any]) -> Output:
    """Forecast the window."""
    found = forecast_sexing(
        SexingEvidence(
            item["species"], item["born"], item["today"], item["temperature_c"], checks=item["checks"]
        )
    )
    return {
        "opens": found.opens,
        "comfortable": found.comfortable,
        "split_by": found.split_by,
        "fraction_sexable_today": found.fraction_sexable_today,
        "notes": found.notes,
    }


SUBJECT = Subject("sexing", ACCEPTS, RETURNS, run)
