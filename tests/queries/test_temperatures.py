"""A tank's temperatures as a chart."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from app.core.quantities import Units
from app.queries.readings import DayTemperature
from app.queries.temperatures import HourTemperature, by_hour, chart_of_span, temperature_chart
from app.services import readings
from app.services.readings import Shown
from app.store.actor import Actor
from app.store.session import RoomSession
from tests.factories import Made


def test_the_chart_is_in_the_keepers_units_and_needs_two_days(keeper: Actor) -> None:
    days = (DayTemperature(date(2026, 6, 8), 25, 24, 26, 2), DayTemperature(date(2026, 6, 9), 25, 25, 25, 1))
    assert temperature_chart(keeper, days[:1], 25) is None
    metric = temperature_chart(keeper, days, 25)
    assert metric is not None
    assert (metric.y_label, metric.bands[0].low[0]) == ("°C", 24)
    fahrenheit = temperature_chart(replace(keeper, units=Units.US), days, 25)
    assert fahrenheit is not None
    assert (fahrenheit.y_label, fahrenheit.series[0].values) == ("°F", (77.0, 77.0))


def test_the_last_two_days_are_told_by_the_hour_of_the_fishrooms_clock(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank = made.tank()
    ago = [(0, 24.0), (10, 26.0), (90, 25.0), (47 * 60, 22.0), (49 * 60, 10.0)]
    shown = [Shown(tank.id, keeper.now - timedelta(minutes=minutes), c) for minutes, c in ago]
    readings.log_readings(session, keeper, shown)
    assert by_hour(session, keeper, tank.id) == (
        HourTemperature(datetime(2026, 6, 13, 15), 22, 22, 22),  # noqa: DTZ001 - by the wall clock
        HourTemperature(datetime(2026, 6, 15, 12), 25, 25, 25),  # noqa: DTZ001
        HourTemperature(datetime(2026, 6, 15, 13), 26, 26, 26),  # noqa: DTZ001
        HourTemperature(datetime(2026, 6, 15, 14), 24, 24, 24),  # noqa: DTZ001
    )


def test_hours_are_drawn_at_their_place_and_told_by_day_and_hour(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank = made.tank()
    at = [datetime(2026, 6, 15, hour, tzinfo=UTC) for hour in (9, 10)]
    readings.log_readings(session, keeper, [Shown(tank.id, moment, 24) for moment in at])
    chart = chart_of_span(session, keeper, tank.id, 25, "hours")
    assert chart is not None
    drawing = chart.drawing()
    assert (drawing["dates"], drawing["hours"]) == (True, True)
    assert drawing["x"] == [(moment + timedelta(hours=2)).timestamp() for moment in at]
    assert [row[0] for row in chart.rows()] == ["15 June 2026, 11:00", "15 June 2026, 12:00"]
    assert chart.series[0].label == "mean of the hour"
