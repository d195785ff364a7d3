"""Subject ``salt``: grams per litre after every dose, change and top-up."""

from collections.abc import Sequence
from typing import Any

from app.cli.reckon.fields import date_field, described, nullable, number_field, optional
from app.cli.reckon.measures import CHANGED, MOST_LITRES, ONE_OF_CHANGED, litres_field, share_changed
from app.cli.reckon.shapes import list_of, object_of, tagged, within
from app.cli.reckon.subject import Output, Subject
from app.core.problems import Problem
from app.core.water.salt import Change, Dose, Event, TopUp, dose_to, ledger

WHEN = {"date": optional(date_field())}
G_PER_L = number_field(0, 317, "g/L")

EVENT = tagged(
    "kind",
    {
        "dose": object_of({**WHEN, "grams": number_field(0, 1e9, "g")}),
        "change": object_of(
            {**WHEN, **CHANGED, "source_g_per_l": optional(G_PER_L, 0.0)}, one_of=ONE_OF_CHANGED
        ),
        "top_up": object_of({**WHEN, "litres": number_field(0, MOST_LITRES, "L")}),
    },
)
ACCEPTS = object_of(
    {
        "litres": described(litres_field(), "L, water at the full mark"),
        "events": described(list_of(EVENT), "in the order of time; the water is fresh before the first"),
        "target_g_per_l": optional(G_PER_L),
    }
)
RETURNS = object_of(
    {
        "g_per_l": described(list_of(G_PER_L), "after each event, at the full mark"),
        "dose_grams_to_target": described(nullable(number_field(0, unit="g")), "null without a target"),
    }
)


def run(item: dict[str, Any]) -> Output:
    """Follow the salt through the events."""
    litres, target = item["litres"], item["target_g_per_l"]
    _check_order(item["events"])
    levels: list[float] = []
    for index, given in enumerate(item["events"]):
        with within(f"events[{index}]"):
            levels += ledger(litres, [_event(given, litres)], levels[-1] if levels else 0.0)
    now = levels[-1] if levels else 0.0
    return {
        "g_per_l": levels,
        "dose_grams_to_target": None if target is None else dose_to(target, now, litres),
    }


def _event(given: dict[str, Any], litres: float) -> Event:
    if "grams" in given:
        return Dose(given["grams"])
    if "fraction" in given:
        return Change(share_changed(given["fraction"], given["litres"], litres), given["source_g_per_l"])
    return TopUp(given["litres"])


def _check_order(events: Sequence[dict[str, Any]]) -> None:
    latest = None
    for index, event in enumerate(events):
        if latest and event["date"] and event["date"] < latest:
            message = f"{event['date']} lies before {latest} above it; give the events in order"
            raise Problem(message, f"events[{index}].date")
        latest = event["date"] or latest


SUBJECT = Subject("salt", ACCEPTS, RETURNS, run)
