"""Charts of what was in a tank's water: salt, and every medicine, day by day."""

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from app.core.charts import Chart, Series
from app.core.water.ledger import Account, Held, Key, Measured
from app.core.water.levels import HELD_UNITS, Measure
from app.core.wording import distance_words
from app.queries.ledger import TankLedger
from app.queries.readings import SPANS
from app.store.actor import Actor

SCALE = {
    Measure.GRAM: (1000.0, "mg/L"),
    Measure.MILLILITRE: (100.0, "mL per 100 L"),
    Measure.PIECE: (100.0, "per 100 L"),
}
HARDNESS = {Held.GH, Held.KH}
WORTH_DRAWING = 1.0
"""A hardness that moved by less than a degree makes no curve."""


def water_charts(actor: Actor, ledger: TankLedger, span: str) -> tuple[Chart, ...]:
    """Return a chart of each quantity that was there within the span, salt first."""
    days = _days(actor, ledger, span)
    if len(days) < 2:
        return ()
    charts = []
    for key, account in ledger.accounts.items():
        if key is Held.NITRATE:
            continue
        levels = tuple(account.at(_end(actor, day)) for day in days)
        if any(levels) and (key not in HARDNESS or _spread(levels) >= WORTH_DRAWING):
            charts.append(_chart(actor, ledger, key, account, days, levels))
    return tuple(charts)


def _spread(levels: tuple[float | None, ...]) -> float:
    known = [level for level in levels if level is not None]
    return max(known) - min(known)


def _days(actor: Actor, ledger: TankLedger, span: str) -> tuple[date, ...]:
    """Return the days of the span, from the first event on."""
    if not ledger.events:
        return ()
    first = actor.day(ledger.events[0].at)
    back = SPANS[span]
    start = first if back is None else max(first - timedelta(days=1), actor.today - timedelta(days=back))
    number = (actor.today - start).days + 1
    step = max(1, number // 400)
    return tuple(actor.today - timedelta(days=ago) for ago in range(number - 1, -1, -1) if ago % step == 0)


def _end(actor: Actor, day: date) -> datetime:
    """Return the last moment of a day, and of today now."""
    if day == actor.today:
        return actor.now
    return datetime.combine(day + timedelta(days=1), time.min, ZoneInfo(actor.zone)) - timedelta(seconds=1)


def _chart(
    actor: Actor,
    ledger: TankLedger,
    key: Key,
    account: Account,
    days: tuple[date, ...],
    levels: tuple[float | None, ...],
) -> Chart:
    name, scale, unit = _named(ledger, key)
    tested = _tested(actor, ledger, key, days)
    series = [
        Series(
            "by the ledger", _rounded(levels, scale), "steps" if account.half_life_days is None else "line"
        )
    ]
    if any(value is not None for value in tested):
        series.append(Series("tested", _rounded(tested, scale), "dots", "sexing"))
    return Chart(
        title=name,
        sentence=f"At the end of each day, since {distance_words(days[0], actor.today)}.",
        x_label="Day",
        y_label=unit,
        x=days,
        series=tuple(series),
        places=2 if isinstance(key, Held) else 1,
    )


def _named(ledger: TankLedger, key: Key) -> tuple[str, float, str]:
    if isinstance(key, Held):
        return (key.value.capitalize() if key is Held.SALT else key.value), 1.0, HELD_UNITS[key]
    substance = ledger.substances[key]
    scale, unit = SCALE[substance.measure]
    return substance.name, scale, unit


def _tested(actor: Actor, ledger: TankLedger, key: Key, days: tuple[date, ...]) -> tuple[float | None, ...]:
    found = {
        actor.day(event.at): event.level
        for event in ledger.events
        if isinstance(event, Measured) and event.key == key
    }
    return tuple(found.get(day) for day in days)


def _rounded(values: tuple[float | None, ...], scale: float) -> tuple[float | None, ...]:
    return tuple(None if value is None else round(value * scale, 3) for value in values)
