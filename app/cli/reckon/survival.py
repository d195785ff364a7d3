"""Subject ``survival``: how many will still be there."""

from typing import Any

from app.cli.reckon.fields import date_field, described, number_field, optional, whole_field
from app.cli.reckon.shapes import list_of, object_of
from app.cli.reckon.subject import Output, Subject
from app.core.survival import book_from_counts, survival

FISH = whole_field(0, 1_000_000)
COUNT = object_of({"date": date_field(), "alive": FISH})
REMOVED = object_of({"date": date_field(), "n": whole_field(1, 1_000_000)})
ACCEPTS = object_of(
    {
        "counts": list_of(COUNT, at_least=1),
        "removed": described(
            optional(list_of(REMOVED), []), "rehomed or moved alive, before the count of the same day"
        ),
        "until": date_field(),
    }
)
STEP = object_of(
    {
        "date": date_field(),
        "survival": number_field(0, 1, "share still alive, Kaplan-Meier"),
        "se": number_field(0, 1, "Greenwood's standard error"),
    }
)
RETURNS = object_of(
    {
        "curve": list_of(STEP),
        "forecast": described(
            object_of({"median": FISH, "p10": FISH, "p90": FISH}), "fish alive on the day until"
        ),
    }
)


def run(item: dict[str, Any]) -> Output:
    """Follow the counts and look ahead."""
    counts = [(one["date"], one["alive"]) for one in item["counts"]]
    removed = [(one["date"], one["n"]) for one in item["removed"]]
    found = survival(book_from_counts(counts, removed), item["until"])
    ahead = found.forecast
    return {
        "curve": [{"date": p.day, "survival": p.alive, "se": p.se} for p in found.curve],
        "forecast": {"median": ahead.median, "p10": ahead.p10, "p90": ahead.p90},
    }


SUBJECT = Subject("survival", ACCEPTS, RETURNS, run)
