"""The curves of one batch: its lengths with the band they are expected in, and how many live on."""

from bisect import bisect_right
from collections.abc import Sequence
from datetime import date, timedelta

from app.core.batches import Event
from app.core.charts import Band, Chart, Series, Values
from app.core.growth import LengthCheck
from app.core.growth.checking import USUAL_FISH, check_band
from app.core.quantities import Units, show_length
from app.core.survival import Survival, survival
from app.core.wording import day_words, many
from app.queries.outlook import BatchOutlook

AHEAD = timedelta(weeks=6)
"""How far past today, or past the day the batch is ready, the curve is drawn."""

MM_PER_INCH = 25.4
NORMAL_95 = 1.96


def growth_chart(outlook: BatchOutlook, today: date, units: Units) -> Chart:
    """Draw the expected length with its band, and what was measured."""
    ready = outlook.ready.window_80
    last = max(today, ready.end if ready is not None else today) + AHEAD
    curve = [point for point in outlook.growth.curve if point.day <= last]
    own = [point.day for point in curve]
    bands = [check_band(point, outlook.growth.fish_cv) for point in curve]
    checks = _by_day(outlook.case.checks)
    days = sorted({*own, *checks, *([today] if today < last else [])})
    scale = 1.0 if units is Units.METRIC else MM_PER_INCH
    return Chart(
        title="Length",
        sentence=growth_sentence(outlook, units),
        x_label="Day",
        y_label=f"Total length ({'mm' if units is Units.METRIC else 'in'})",
        x=tuple(days),
        series=(
            Series("measured (mean)", tuple(_over(checks.get(day), scale) for day in days), "dots"),
            Series("expected", _along(own, [point.median_mm for point in curve], days, scale)),
        ),
        bands=(
            Band(
                f"8 of 10 checks of {USUAL_FISH} fish",
                _along(own, [low for low, _ in bands], days, scale),
                _along(own, [high for _, high in bands], days, scale),
            ),
        ),
        places=1 if units is Units.METRIC else 2,
    )


def growth_sentence(outlook: BatchOutlook, units: Units) -> str:
    """Say what the curve shows: what was measured last, or that nothing was."""
    checks = outlook.case.checks
    if not checks:
        return "Not measured yet: the usual curve of the species, at this tank’s temperatures."
    last = checks[-1]
    return (
        f"Last measured {day_words(last.day)}: mean {show_length(last.mean_mm, units)} of "
        f"{many(last.n, 'fish', 'fish')}, total length."
    )


def _by_day(checks: Sequence[LengthCheck]) -> dict[date, float]:
    """Return the mean of each day measured; two checks of one day by their numbers of fish."""
    sums: dict[date, tuple[float, int]] = {}
    for check in checks:
        total, n = sums.get(check.day, (0.0, 0))
        sums[check.day] = (total + check.n * check.mean_mm, n + check.n)
    return {day: total / n for day, (total, n) in sums.items()}


def _over(value: float | None, scale: float) -> float | None:
    return None if value is None else value / scale


def _along(own: Sequence[date], values: Sequence[float], days: Sequence[date], scale: float) -> Values:
    """Return a row of the curve on each day, straight between its own; nothing off its ends."""
    found: list[float | None] = []
    for day in days:
        at = bisect_right(own, day) - 1
        if at < 0 or (at == len(own) - 1 and day > own[at]):
            found.append(None)
            continue
        after = min(at + 1, len(own) - 1)
        part = (day - own[at]).days / max(1, (own[after] - own[at]).days)
        found.append((values[at] + (values[after] - values[at]) * part) / scale)
    return tuple(found)


def survival_of(events: Sequence[Event], today: date, until: date) -> Survival | None:
    """Return how a batch lives on, where its book has begun."""
    if not events:
        return None
    return survival(events, max(until, today, *(event.day for event in events)))


def survival_chart(lived: Survival, today: date, *, closed: bool) -> Chart:
    """Draw the share still alive, leaving aside those rehomed, kept or moved."""
    points = list(lived.curve)
    days = [point.day for point in points]
    share: list[float | None] = [100 * point.alive for point in points]
    low: list[float | None] = [100 * max(0.0, p.alive - NORMAL_95 * p.se) for p in points]
    high: list[float | None] = [100 * min(1.0, p.alive + NORMAL_95 * p.se) for p in points]
    if days[-1] < today and not closed:
        days.append(today)
        for row in (share, low, high):
            row.append(row[-1])
    return Chart(
        title="Survival",
        sentence=survival_sentence(lived, today, closed=closed),
        x_label="Day",
        y_label="Alive (%)",
        x=tuple(days),
        series=(Series("alive", tuple(share), "steps"),),
        bands=(Band("95 in 100 such series", tuple(low), tuple(high)),),
        places=0,
    )


def survival_sentence(lived: Survival, today: date, *, closed: bool) -> str:
    """Say which share is alive, and how many of those here will be."""
    share = round(100 * lived.curve[-1].alive)
    so_far = f"{share} % alive so far, leaving aside those rehomed, kept or moved."
    ahead = lived.forecast
    if closed or not lived.alive or ahead.day <= today:
        return so_far
    return (
        f"{so_far} Of the {lived.alive} here, {_numbers(ahead.p10, ahead.p90)} will be alive on "
        f"{day_words(ahead.day, today)}, in 8 of 10 cases like this."
    )


def _numbers(low: int, high: int) -> str:
    return f"{low}" if low == high else f"{low} to {high}"
