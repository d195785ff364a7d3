"""Subject ``ratio``: whether a sex ratio is odd."""

from typing import Any

from app.cli.reckon.fields import described, number_field, whole_field
from app.cli.reckon.shapes import object_of
from app.cli.reckon.subject import Output, Subject
from app.core.sex_ratio import sex_ratio

FISH = whole_field(0, 1_000_000)
SHARE = number_field(0, 1, "share of males")
ACCEPTS = object_of({"males": FISH, "females": FISH})
RETURNS = object_of(
    {
        "p_value": described(number_field(0, 1), "exact two-sided binomial against 1:1"),
        "interval_95": described(object_of({"from": SHARE, "to": SHARE}), "Clopper-Pearson"),
    }
)


def run(item: dict[str, Any]) -> Output:
    """Test the count."""
    found = sex_ratio(item["males"], item["females"])
    return {
        "p_value": found.p_value,
        "interval_95": {"from": found.interval_95.low, "to": found.interval_95.high},
    }


SUBJECT = Subject("ratio", ACCEPTS, RETURNS, run)
