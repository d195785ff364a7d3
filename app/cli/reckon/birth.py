"""Subject ``birth``: when a dam drops next, and whether she is carrying at all."""

from datetime import date, timedelta
from functools import lru_cache
from typing import Any

from app.cli.reckon.fields import (
    Field,
    choice,
    date_field,
    described,
    nullable,
    number_field,
    optional,
    text_field,
    whole_field,
    yes_no,
)
from app.cli.reckon.measures import celsius_field
from app.cli.reckon.shapes import list_of, object_of
from app.cli.reckon.stock import species_field, temperature_field
from app.cli.reckon.subject import Output, Subject
from app.core.births import (
    Arrived,
    BirthEvidence,
    BirthForecast,
    Exposed,
    LastDrop,
    OwnInterval,
    Start,
    forecast_birth,
)
from app.core.problems import Problem
from app.core.species import Species
from app.core.windows import Window

LONGEST_DAYS = 1_000
DAYS = number_field(1, LONGEST_DAYS, "days")
P = number_field(0, 1, "probability")


@lru_cache(maxsize=4096)  # histories repeat the same few intervals
def _interval(interval_days: float, mean_temp_c: float | None = None) -> OwnInterval:
    return OwnInterval(interval_days, interval_days, mean_temp_c)


def history_field() -> Field[list[OwnInterval]]:
    """Declare one dam's intervals between drops, oldest first."""
    # less than a day is left to the core, which says what is wrong: the drops are out of order
    days = Field(DAYS.schema, number_field(maximum=LONGEST_DAYS, unit="days").read)
    keys: dict[str, Field[Any]] = {"interval_days": days, "mean_temp_c": optional(nullable(celsius_field()))}
    return list_of(object_of(keys, _interval))


ACCEPTS = object_of(
    {
        "species": species_field(),
        "today": described(date_field(), "no drop has come before this day; it may still come on it"),
        "last_drop": described(
            optional(date_field()),
            "for a species that stores no sperm: and no male since; give exposed_from where there was one",
        ),
        "exposed_from": described(optional(date_field()), "first day with males"),
        "exposed_to": described(
            optional(nullable(date_field())), "last day with males; left out: still with her"
        ),
        "arrived": described(optional(date_field()), "bought on this day"),
        "with_males": described(optional(nullable(yes_no())), "null: unknown"),
        "virgin": described(optional(yes_no(), False), "false: not known to be one"),  # noqa: FBT003
        "history": described(optional(history_field(), []), "this dam's, oldest first"),
        "kin_history": described(optional(list_of(history_field()), []), "other dams of her line"),
        "brood_number": described(
            optional(nullable(whole_field(1, 200))), "of the awaited drop; 1 is her first"
        ),
        "temperature_c": optional(temperature_field()),
        "dam_length_mm": optional(nullable(number_field(5, 200, "mm, total length"))),
    },
    one_of=(("last_drop", "exposed_from", "arrived"),),
    needs={"exposed_to": "exposed_from", "with_males": "arrived"},
)
WINDOW: dict[str, Field[Any]] = {"from": date_field(), "to": date_field()}
RETURNS = object_of(
    {
        "p_carrying": described(P, "chance that she carries, no drop having come before today"),
        "median": described(nullable(date_field()), "null where no date can be given; the notes say why"),
        "window_80": nullable(object_of(WINDOW)),
        "window_95": nullable(object_of(WINDOW)),
        "cdf": described(
            list_of(object_of({"date": date_field(), "p": P})),
            "P(drop on or before date), given that she carries and that none came before today",
        ),
        "later_drops": described(list_of(object_of(WINDOW)), "80 % windows of the drops after the next"),
        "brood_size": nullable(
            object_of({name: number_field(0, unit="fry") for name in ("median", "p10", "p90")})
        ),
        "fry_per_week": optional(number_field(0, unit="fry a week, for overlapping broods")),
        "confidence": choice("low", "medium-low", "medium", "high"),
        "notes": list_of(text_field(500)),
        "method": text_field(),
    }
)


def run(item: dict[str, Any]) -> Output:
    """Forecast the next drop."""
    return _output(forecast_birth(_evidence(item)))


def _evidence(item: dict[str, Any]) -> BirthEvidence:
    return BirthEvidence(
        species=item["species"],
        today=item["today"],
        start=_start(item),
        virgin=item["virgin"],
        history=tuple(item["history"]),
        kin_history=tuple(tuple(dam) for dam in item["kin_history"]),
        brood_number=item["brood_number"],
        temperature=item["temperature_c"],
        dam_length_mm=item["dam_length_mm"],
        males_until=_males_until(item["species"], item["last_drop"]),
    )


def _start(item: dict[str, Any]) -> Start:
    if item["last_drop"]:
        return LastDrop(item["last_drop"], item["last_drop"])
    if item["exposed_from"]:
        if item["exposed_to"] and item["exposed_to"] > item["today"]:
            raise Problem(
                f"{item['exposed_to']} is after today ({item['today']}); leave it out until they have left",
                "exposed_to",
            )
        return Exposed(item["exposed_from"], item["exposed_to"])
    return Arrived(item["arrived"], item["with_males"])


def _males_until(species: Species, last_drop: date | None) -> date | None:
    """Take it that a dam which stores no sperm has been alone since a drop told without exposure."""
    return last_drop - timedelta(days=1) if last_drop and not species.stores_sperm else None


def _output(found: BirthForecast) -> Output:
    size = found.brood_size
    answer: Output = {
        "p_carrying": round(found.p_carrying, 6),
        "median": found.median,
        "window_80": _window(found.window_80),
        "window_95": _window(found.window_95),
        # to six places; rounding a whole number is much faster than round(p, 6), and gives the same
        "cdf": [{"date": _iso(day), "p": round(p * 1e6) / 1e6} for day, p in found.cdf],
        "later_drops": [_window(window) for window in found.later_drops],
        "brood_size": size and {"median": size.median, "p10": size.p10, "p90": size.p90},
        "confidence": found.confidence,
        "notes": found.notes,
        "method": found.method,
    }
    if found.fry_per_week is not None:
        answer["fry_per_week"] = found.fry_per_week
    return answer


def _window(window: Window | None) -> Output | None:
    return {"from": _iso(window.start), "to": _iso(window.end)} if window else None


@lru_cache(maxsize=4096)  # dams of one day share most dates
def _iso(day: date) -> str:
    return day.isoformat()


SUBJECT = Subject("birth", ACCEPTS, RETURNS, run)
