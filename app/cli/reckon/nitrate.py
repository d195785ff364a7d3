"""Subject ``nitrate``: production, the date of the ceiling, and the smallest weekly change."""

from typing import Any

from app.cli.reckon.fields import date_field, described, nullable, number_field, optional, text_field
from app.cli.reckon.measures import CHANGED, ONE_OF_CHANGED, litres_field, share_changed, share_field
from app.cli.reckon.shapes import list_of, object_of, within
from app.cli.reckon.subject import Output, Subject
from app.core.quantities.showing import show_share
from app.core.water.nitrate import (
    CEILING_MG_PER_L,
    Change,
    Outlook,
    Production,
    Reading,
    from_feed,
    outlook,
)
from app.core.water.nitrate_plan import first_change, weekly_change

PROTEIN = 0.4  # a common label figure for flakes; common practice, no source
NO3 = number_field(0, 10_000, "mg/L, as NO3")

READING = object_of({"date": date_field(), "mg_per_l": NO3})
CHANGE = object_of(
    {"date": date_field(), **CHANGED, "source_mg_per_l": optional(NO3, 0.0)}, one_of=ONE_OF_CHANGED
)
ACCEPTS = object_of(
    {
        "litres": litres_field(),
        "readings": described(list_of(READING, at_least=1), "taken before any change of the same day"),
        "changes": described(list_of(CHANGE), "past ones, and planned ones after today"),
        "feed_g_per_day": optional(number_field(0, 1e6, "g of dry feed")),
        "protein_fraction": optional(number_field(0, 1, "share of protein, 0.4 unless given"), PROTEIN),
        "ceiling_mg_per_l": optional(number_field(0.01, 10_000, "mg/L"), CEILING_MG_PER_L),
        "today": described(optional(date_field()), "the last reading's date unless given"),
    },
    needs={"protein_fraction": "feed_g_per_day"},
)
WINDOW = object_of({"from": date_field(), "median": date_field(), "to": date_field()})
RETURNS = object_of(
    {
        "production_mg_per_day": nullable(number_field(unit="mg of NO3")),
        "reaches_ceiling": described(nullable(WINDOW), "80 % window; null when not within two years"),
        "weekly_change_fraction": described(nullable(share_field()), "null when none is enough"),
        "notes": list_of(text_field()),
    }
)


def run(item: dict[str, Any]) -> Output:
    """Fit, project and plan."""
    litres, ceiling = item["litres"], item["ceiling_mg_per_l"]
    readings = [Reading(one["date"], one["mg_per_l"]) for one in item["readings"]]
    changes = [_change(one, index, litres) for index, one in enumerate(item["changes"])]
    today = item["today"] or max(reading.day for reading in readings)
    found = outlook(litres, readings, changes, today, ceiling, _prior(item))
    source = max(changes, key=lambda change: change.day).source_mg_per_l if changes else 0.0
    made = found.production
    weekly = None if made is None else weekly_change(made.mg_per_day, litres, ceiling, source)
    return {
        "production_mg_per_day": None if made is None else made.mg_per_day,
        "reaches_ceiling": _window(found),
        "weekly_change_fraction": weekly,
        "notes": _notes(found, weekly, source, ceiling) + _first(found, litres, source, ceiling),
    }


def _change(given: dict[str, Any], index: int, litres: float) -> Change:
    with within(f"changes[{index}]"):
        share = share_changed(given["fraction"], given["litres"], litres)
    return Change(given["date"], share, given["source_mg_per_l"])


def _prior(item: dict[str, Any]) -> Production | None:
    feed = item["feed_g_per_day"]
    return None if feed is None else from_feed(feed, item["protein_fraction"])


def _window(found: Outlook) -> Output | None:
    if found.reaches is None:
        return None
    return {"from": found.reaches.start, "median": found.median, "to": found.reaches.end}


def _notes(found: Outlook, weekly: float | None, source: float, ceiling: float) -> list[str]:
    if found.production is None:
        return ["Give readings on different days, or the feed per day, to tell the production."]
    if source >= ceiling:
        return ["The new water holds as much as the ceiling allows; no change can hold it."]
    if weekly is None:
        return ["One change a week is not enough; feed less, keep fewer fish or change more often."]
    return [] if found.reaches else ["The ceiling is not reached within two years."]


def _first(found: Outlook, litres: float, source: float, ceiling: float) -> list[str]:
    if found.production is None:
        return []
    first = first_change(found.today_mg_per_l, found.production.mg_per_day, litres, ceiling, source)
    return [f"Begin with a change of {show_share(first)} today."] if first else []


SUBJECT = Subject("nitrate", ACCEPTS, RETURNS, run)
