"""Subject ``dilution``: what is left after a series of equal water changes."""

from typing import Any

from app.cli.reckon.fields import described, number_field, optional, whole_field
from app.cli.reckon.measures import share_field
from app.cli.reckon.shapes import list_of, object_of
from app.cli.reckon.subject import Output, Subject
from app.core.problems import Problem
from app.core.water.mixing import after_changes, changes_needed

MOST = 10_000
LEVEL = number_field(0, 1e9, "any one unit")

ACCEPTS = object_of(
    {
        "start": LEVEL,
        "source": described(LEVEL, "of the new water, in the unit of start"),
        "fraction": share_field(),
        "changes": optional(whole_field(0, MOST)),
        "target": optional(LEVEL),
    },
    one_of=[("changes", "target")],
)
RETURNS = object_of(
    {
        "after": described(list_of(LEVEL), "level after each change"),
        "changes_needed": described(whole_field(0, MOST), "to the target, or as given"),
    }
)


def run(item: dict[str, Any]) -> Output:
    """Reckon the series."""
    start, source, fraction = item["start"], item["source"], item["fraction"]
    number = item["changes"]
    if number is None:
        number = changes_needed(start, source, fraction, item["target"])
    if number > MOST:
        raise Problem(f"it would take {number} changes; give a larger fraction", "fraction")
    return {"after": after_changes(start, source, [fraction] * number), "changes_needed": number}


SUBJECT = Subject("dilution", ACCEPTS, RETURNS, run)
