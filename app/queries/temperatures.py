"""A tank's temperatures as a chart: by hour for two days, by day for a season, by week for longer."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.charts import Band, Chart, Series
from app.core.quantities import Units, show_temperature
from app.core.wording import span_words
from app.queries.readings import SPANS, DayTemperature, by_day, by_week
from app.store.actor import Actor
from app.store.readings import Quantity, Reading

HOURS = "hours"
SPANS_SHOWN = (HOURS, *SPANS)
LAST_HOURS = timedelta(hours=48)


@dataclass(frozen=True, slots=True)
class HourTemperature:
    """All readings of one hour by the fishroom's clock."""

    on: datetime
    mean: float
    low: float
    high: float


Shown = Sequence[DayTemperature] | Sequence[HourTemperature]


def by_hour(session: Session, actor: Actor, tank_id: int) -> tuple[HourTemperature, ...]:
    """Return what a tank's thermometers showed in the last two days, hour by hour, from the readings."""
    statement = select(Reading.taken_at, Reading.value).where(
        Reading.fishroom_id == actor.fishroom_id,
        Reading.tank_id == tank_id,
        Reading.quantity == Quantity.TEMPERATURE,
        Reading.taken_at > actor.now - LAST_HOURS,
    )
    found: dict[datetime, list[float]] = defaultdict(list)
    for taken_at, value in session.execute(statement):
        hour = actor.local(taken_at).replace(minute=0, second=0, microsecond=0, tzinfo=None)
        found[hour].append(value)
    return tuple(
        HourTemperature(hour, sum(values) / len(values), min(values), max(values))
        for hour, values in sorted(found.items())
    )


def chart_of_span(
    session: Session, actor: Actor, tank_id: int, set_point_c: float, span: str
) -> Chart | None:
    """Draw a tank's temperatures as far back as asked, in one statement."""
    if span == HOURS:
        return temperature_chart(actor, by_hour(session, actor, tank_id), set_point_c, span)
    back = SPANS[span]
    since = None if back is None else actor.today - timedelta(days=back)
    return temperature_chart(actor, by_day(session, actor, tank_id, since), set_point_c, span)


def temperature_chart(actor: Actor, found: Shown, set_point_c: float, span: str = "quarter") -> Chart | None:
    """Draw temperatures beside what the heater is set to; nothing to draw below two of them."""
    each = {HOURS: "hour", "quarter": "day"}.get(span, "week")
    shown = by_week([one for one in found if isinstance(one, DayTemperature)]) if each == "week" else found
    if len(shown) < 2:
        return None
    values = [[_in_units(v, actor.units) for v in (one.mean, one.low, one.high)] for one in shown]
    means, lows, highs = (tuple(column) for column in zip(*values, strict=True))
    low, high = min(one.low for one in shown), max(one.high for one in shown)
    return Chart(
        title="Temperature",
        sentence=(
            f"{span_words(_day(found[0].on), _day(found[-1].on), actor.today)}, from "
            f"{show_temperature(low, actor.units)} to {show_temperature(high, actor.units)}."
        ),
        x_label=each.capitalize(),
        y_label="°F" if actor.units is Units.US else "°C",
        x=tuple(one.on for one in shown),
        series=(
            Series(f"mean of the {each}", means, stage="drop"),
            Series("heater set to", (_in_units(set_point_c, actor.units),) * len(shown), "steps", "waiting"),
        ),
        bands=(Band(f"lowest to highest of the {each}", lows, highs, "drop"),),
        zero=False,
    )


def _day(at: date) -> date:
    return at.date() if isinstance(at, datetime) else at


def _in_units(celsius: float, units: Units) -> float:
    return round(celsius * 9 / 5 + 32 if units is Units.US else celsius, 2)
