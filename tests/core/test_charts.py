"""A chart's numbers: the same for the drawing and for the table."""

from datetime import UTC, date, datetime

from app.core.charts import Band, Chart, Series

DAYS = (date(2026, 5, 1), date(2026, 5, 9))
GROWTH = Chart(
    "Growth",
    "grows",
    "Day",
    "Length, mm",
    DAYS,
    (Series("measured", (7.46, None), "dots"),),
    (Band("expected", (7.0, 9.0), (8.0, 11.0)),),
)


def test_the_table_gives_each_day_its_numbers_and_ranges() -> None:
    assert GROWTH.head() == ["Day", "measured", "expected"]
    assert GROWTH.rows() == [["1 May 2026", "7.5", "7.0–8.0"], ["9 May 2026", "", "9.0–11.0"]]


def test_days_are_drawn_as_seconds_in_utc() -> None:
    drawing = GROWTH.drawing()
    assert drawing["dates"] is True
    assert drawing["x"] == [datetime(2026, 5, d, tzinfo=UTC).timestamp() for d in (1, 9)]


def test_numbers_along_the_axis_stay_numbers() -> None:
    chart = Chart(
        "Survival",
        "falls",
        "Age, days",
        "Alive",
        (0.0, 30.5),
        (Series("alive", (24, 20), "steps"),),
        places=0,
    )
    assert chart.drawing()["x"] == [0.0, 30.5]
    assert chart.rows() == [["0", "24"], ["30.5", "20"]]
