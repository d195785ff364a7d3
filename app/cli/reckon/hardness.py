"""Subject ``hardness``: what salts and blends do to GH and KH."""

from collections.abc import Sequence
from typing import Any

from app.cli.reckon.fields import described, number_field, optional, text_field
from app.cli.reckon.measures import litres_field
from app.cli.reckon.shapes import list_of, object_of, within
from app.cli.reckon.subject import Output, Subject
from app.core.problems import Problem
from app.core.water.hardness import EXAMPLES, Rise, Water, blend, rise

DEGREES = number_field(0, 1000, "°dH")

SALT = object_of(
    {"formula": described(text_field(60), f"such as {EXAMPLES}"), "grams": number_field(0, 1e9, "g")}
)
WATER = object_of({"litres": litres_field(), "gh_dh": DEGREES, "kh_dh": DEGREES}, Water)
ACCEPTS = object_of(
    {
        "litres": litres_field(),
        "salts": list_of(SALT),
        "blend": described(
            optional(list_of(WATER, at_least=1)),
            "waters poured together before the salts, adding up to litres",
        ),
    }
)
RISES = {"gh_dh": number_field(0, unit="°dH"), "kh_dh": number_field(0, unit="°dH")}
RETURNS = object_of({**RISES, "per_salt": list_of(object_of({"formula": text_field(60), **RISES}))})


def run(item: dict[str, Any]) -> Output:
    """Add the salts to the blend."""
    litres, waters = item["litres"], item["blend"]
    start = _blended(waters, litres) if waters else Rise(0.0, 0.0)
    rises = []
    for index, salt in enumerate(item["salts"]):
        with within(f"salts[{index}]"):
            rises.append(rise(salt["formula"], salt["grams"], litres))
    return {
        "gh_dh": start.gh_dh + sum(one.gh_dh for one in rises),
        "kh_dh": start.kh_dh + sum(one.kh_dh for one in rises),
        "per_salt": [
            {"formula": salt["formula"], "gh_dh": one.gh_dh, "kh_dh": one.kh_dh}
            for salt, one in zip(item["salts"], rises, strict=True)
        ],
    }


def _blended(waters: Sequence[Water], litres: float) -> Rise:
    total = sum(water.litres for water in waters)
    if abs(total - litres) > 0.01 * litres:
        raise Problem(f"the waters add up to {total:g} L, litres says {litres:g}; make them agree", "blend")
    return blend(waters)


SUBJECT = Subject("hardness", ACCEPTS, RETURNS, run)
