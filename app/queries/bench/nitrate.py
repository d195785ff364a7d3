"""When nitrate reaches its ceiling, and the smallest weekly change that keeps it under."""

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from app.core.cautions import Caution
from app.core.problems import Problem
from app.core.quantities import Units, show_share
from app.core.water.nitrate import (
    HORIZON_DAYS,
    NITROGEN_IN_PROTEIN,
    RETAINED,
    Outlook,
    Production,
    Reading,
    from_feed,
    outlook,
)
from app.core.water.nitrate_plan import first_change, weekly_change, weekly_rise
from app.core.water.units import NO3_PER_N
from app.core.wording import day_words, window_words
from app.queries.bench.answers import Answer, ChangeToLog, fig, litres_line
from app.queries.bench.changes import BIG, BIG_CHANGE


class Kit(StrEnum):
    """As what a kit counts nitrate."""

    NO3 = "no3"
    NITROGEN = "nitrogen"


WORDS = {Kit.NO3: "nitrate (NO₃)", Kit.NITROGEN: "nitrogen (NO₃-N)"}
MOST_DAYS = 365
GUESS = Caution(
    "Feed alone gives a guess, known to half or double. A second reading a week later makes it yours.",
    "A guess",
    "note",
)


@dataclass(frozen=True, slots=True)
class Tank:
    """A tank's nitrate as NO3: now, in the new water, at most, and earlier if it was read."""

    litres: float
    now: float
    source: float
    ceiling: float
    earlier: float | None = None
    days_ago: int | None = None


@dataclass(frozen=True, slots=True)
class Feed:
    """Dry feed a day, and its protein."""

    grams: float
    protein: float


def as_no3(shown: float, kit: Kit) -> float:
    """Return a kit's figure as NO3."""
    return shown * NO3_PER_N if kit is Kit.NITROGEN else shown


def plan(units: Units, tank: Tank, feed: Feed | None, today: date) -> Answer:
    """Reckon the rise, the ceiling's date and the change plan."""
    found = outlook(tank.litres, _readings(tank, today), (), today, tank.ceiling, _prior(feed))
    if found.production is None:
        raise Problem(
            "how fast it rises is not known; say how much is fed, or give an earlier reading", "feed"
        )
    made = found.production.mg_per_day
    weekly = weekly_change(made, tank.litres, tank.ceiling, tank.source)
    first = first_change(tank.now, made, tank.litres, tank.ceiling, tank.source)
    return Answer(
        _words(weekly, tank),
        (
            *_first_words(first, weekly),
            _rise_words(found.production, tank),
            _ceiling_words(found, tank, today),
        ),
        (*litres_line(tank.litres, units), *_working(tank, feed, made, weekly, first)),
        cautions=(
            *((GUESS,) if tank.earlier is None else ()),
            *((BIG_CHANGE,) if max(weekly or 0, first or 0) > BIG else ()),
        ),
        logs=tuple(ChangeToLog(_whole(share)) for share in (first or weekly,) if share),
    )


def _readings(tank: Tank, today: date) -> list[Reading]:
    readings = [Reading(today, tank.now)]
    if (tank.earlier is None) != (tank.days_ago is None):
        missing = "days_ago" if tank.days_ago is None else "earlier"
        raise Problem("an earlier reading needs both its figure and how many days ago it was", missing)
    if tank.earlier is not None and tank.days_ago is not None:
        if not 1 <= tank.days_ago <= MOST_DAYS:
            raise Problem(f"{tank.days_ago} days ago cannot be; give 1 to {MOST_DAYS}", "days_ago")
        readings.insert(0, Reading(today - timedelta(days=tank.days_ago), tank.earlier))
    return readings


def _prior(feed: Feed | None) -> Production | None:
    return None if feed is None else from_feed(feed.grams, feed.protein)


def _words(weekly: float | None, tank: Tank) -> str:
    ceiling = f"{fig(tank.ceiling)} mg/L"
    if weekly is None and tank.source >= tank.ceiling:
        return f"The new water itself holds {fig(tank.source)} mg/L: no change brings it under {ceiling}."
    if weekly is None:
        return f"No weekly change holds {ceiling}: feed less, keep fewer fish, or change more often."
    if weekly == 0:
        return f"Nitrate does not rise: no change is needed for {ceiling}."
    return f"Change {_up(weekly)} every week to stay under {ceiling}."


def _first_words(first: float | None, weekly: float | None) -> tuple[str, ...]:
    if first is None or weekly is None or first <= weekly + 0.005:
        return ()
    parts = ", in two or three parts on different days" if first > BIG else ""
    return (f"To begin with, change {_up(first)}{parts}.",)


def _ceiling_words(found: Outlook, tank: Tank, today: date) -> str:
    if tank.now >= tank.ceiling:
        return "Today it is at the ceiling or above it."
    if found.reaches is None:
        return "Without changes it is not reached within two years."
    if found.reaches.end >= today + timedelta(days=HORIZON_DAYS):
        first = day_words(found.reaches.start, today)
        return f"Without changes it is reached from {first} on, or not within two years."
    return f"Without changes it is reached {window_words(found.reaches, today)}, in 8 of 10 cases like this."


def _rise_words(made: Production, tank: Tank) -> str:
    rise = weekly_rise(made.mg_per_day, tank.litres)
    off = 7 * made.sd / tank.litres
    if made.mg_per_day <= 0:
        return "Nitrate falls by these figures: plants take it up, or water was changed in between."
    return f"Nitrate rises by about {fig(round(rise, 1))} mg/L a week, give or take {fig(round(off, 1))}."


def _working(
    tank: Tank, feed: Feed | None, made: float, weekly: float | None, first: float | None
) -> tuple[str, ...]:
    rise = weekly_rise(made, tank.litres)
    lines = [*_feed_line(feed), *_reading_line(tank)]
    lines.append(
        f"fitted: P = {fig(made)} mg a day; "
        f"7·P/V = 7 × {fig(made)} / {fig(tank.litres)} = {fig(rise)} mg/L a week"
        if made > 0
        else f"fitted: P = {fig(made)} mg a day, below 0: no rise is reckoned with"
    )
    if weekly:
        lines.append(
            "weekly f = (7·P/V) / (ceiling − C_src) = "
            f"{fig(rise)} / ({fig(tank.ceiling)} − {fig(tank.source)}) = {fig(weekly)}"
        )
    if first:
        lines.append(
            "first f = (C + 7·P/V − ceiling) / (C − C_src) = "
            f"({fig(tank.now)} + {fig(rise)} − {fig(tank.ceiling)}) / "
            f"({fig(tank.now)} − {fig(tank.source)}) = {fig(first)}"
        )
    return tuple(lines)


def _feed_line(feed: Feed | None) -> tuple[str, ...]:
    if feed is None:
        return ()
    made = from_feed(feed.grams, feed.protein).mg_per_day
    return (
        (
            f"from feed: P = {fig(feed.grams)} g × {fig(feed.protein)} × {NITROGEN_IN_PROTEIN:g} "
            f"× (1 − {RETAINED:g}) × {NO3_PER_N:.3f} = {fig(made)} mg a day, ± 50 %"
        ),
    )


def _reading_line(tank: Tank) -> tuple[str, ...]:
    if tank.earlier is None or tank.days_ago is None:
        return ()
    rise = (tank.now - tank.earlier) * tank.litres / tank.days_ago
    return (
        (
            f"from readings: ({fig(tank.now)} − {fig(tank.earlier)}) mg/L × {fig(tank.litres)} L "
            f"/ {tank.days_ago} d = {fig(rise)} mg a day, with the kit's error"
        ),
    )


def _up(share: float) -> str:
    """Return a share rounded up to whole per cent, so that it is enough."""
    return show_share(_whole(share))


def _whole(share: float) -> float:
    return min(1.0, int(share * 100 + 0.999) / 100)
