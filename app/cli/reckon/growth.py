"""Subject ``growth``: length by date, with the dates of reaching given lengths."""

from typing import Any

from app.cli.reckon.fields import choice, date_field, described, nullable, number_field, optional, text_field
from app.cli.reckon.lengths import checks_field, length_mm
from app.cli.reckon.shapes import list_of, object_of
from app.cli.reckon.stock import species_field, temperature_field
from app.cli.reckon.subject import Output, Subject
from app.core.growth import GrowthEvidence, GrowthForecast, Model, fit_growth

MM = number_field(unit="mm, mean total length of the batch")
ACCEPTS = object_of(
    {
        "species": species_field(),
        "born": date_field(),
        "today": date_field(),
        "sex": described(optional(nullable(choice("female", "male"))), "half of each unless given"),
        "temperature_c": optional(temperature_field()),
        "checks": optional(checks_field(), []),
        "targets_mm": optional(list_of(length_mm()), []),
    }
)
POINT = object_of({"date": date_field(), "median_mm": MM, "p10_mm": MM, "p90_mm": MM})
TARGET = object_of(
    {
        "length_mm": length_mm(),
        "median": described(nullable(date_field()), "null where it may never be reached"),
        "from": nullable(date_field()),
        "to": nullable(date_field()),
    }
)
CURVE = object_of({"l0_mm": MM, "linf_mm": MM, "k_per_day": number_field(unit="1/day, at 25 °C")})
PARAMETERS = object_of(
    {
        "model": choice(*(model.value for model in Model)),
        "female": optional(CURVE),
        "male": optional(CURVE),
        "fish_cv": number_field(unit="fish to fish, standard deviation over mean"),
    }
)
RETURNS = object_of(
    {
        "curve": described(list_of(POINT), "weekly, with the central 80 %"),
        "targets": described(list_of(TARGET), "80 % windows"),
        "standing": nullable(choice("behind", "on", "ahead")),
        "percentile": nullable(number_field(0, 100, "% of such broods that would be shorter")),
        "parameters": PARAMETERS,
        "notes": list_of(text_field(500)),
    }
)


def run(item: dict[str, Any]) -> Output:
    """Fit the curve and read the dates off it."""
    found = fit_growth(_evidence(item))
    return {
        "curve": [
            {"date": p.day, "median_mm": p.median_mm, "p10_mm": p.p10_mm, "p90_mm": p.p90_mm}
            for p in found.curve
        ],
        "targets": [
            {
                "length_mm": t.length_mm,
                "median": t.median,
                "from": t.window.start if t.window else None,
                "to": t.window.end if t.window else None,
            }
            for t in found.targets
        ],
        "standing": found.standing,
        "percentile": found.percentile,
        "parameters": _parameters(found),
        "notes": found.notes,
    }


def _evidence(item: dict[str, Any]) -> GrowthEvidence:
    return GrowthEvidence(
        item["species"],
        item["born"],
        item["today"],
        item["sex"],
        item["temperature_c"],
        item["checks"],
        item["targets_mm"],
    )


def _parameters(found: GrowthForecast) -> Output:
    by_sex: Output = {
        one.sex: {"l0_mm": one.l0_mm, "linf_mm": one.linf_mm, "k_per_day": one.k_per_day}
        for one in found.parameters
    }
    return {"model": found.model.value, **by_sex, "fish_cv": found.fish_cv}


SUBJECT = Subject("growth", ACCEPTS, RETURNS, run)
