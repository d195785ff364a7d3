"""Stamps of loggers' files."""

from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest

from app.core.logger_files.stamps import (
    Clock,
    DayOrder,
    day_orders,
    has_clock,
    is_clock,
    is_stamp,
    zone_of_head,
)
from app.core.problems import Problem

BERLIN = ZoneInfo("Europe/Berlin")
NOON = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)


def moment(stamp: str, hour: str | None = None, order: DayOrder = DayOrder.DAY_FIRST) -> datetime:
    return Clock(order, BERLIN).moment(stamp, hour)


@pytest.mark.parametrize(
    ("stamp", "hour"),
    [
        ("2026-06-01 14:00", None),
        ("2026-06-01T14:00:00", None),
        ("2026-06-01T12:00:00Z", None),
        ("2026-06-01T14:00:00+02:00", None),
        ("2026/06/01 14:00:00.123", None),
        ("01.06.2026 14:00", None),
        ("1/6/26 2:00 PM", None),
        ("01.06.2026, 14:00:00", None),
        ("2026-06-01", "14:00"),
        ("01.06.2026", "02:00:00 pm"),
    ],
)
def test_a_moment_is_read_however_it_is_written(stamp: str, hour: str | None) -> None:
    assert moment(stamp, hour) == NOON


def test_a_day_without_an_hour_is_its_midday() -> None:
    assert moment("2026-06-01") == datetime(2026, 6, 1, 10, 0, tzinfo=UTC)


def test_the_order_of_day_and_month_is_followed() -> None:
    assert moment("06/01/2026 14:00", order=DayOrder.MONTH_FIRST) == NOON


@pytest.mark.parametrize(
    "stamp", ["2026-02-30 14:00", "31/02/2026", "soon", "24.5", "2026-06-01 25:00", "5/13/2026"]
)
def test_what_is_no_moment_is_refused(stamp: str) -> None:
    with pytest.raises(Problem):
        moment(stamp)


@pytest.mark.parametrize(
    ("cells", "left"),
    [
        (["03/04/2026", "04/04/2026"], set(DayOrder)),
        (["03/04/2026", "13/04/2026"], {DayOrder.DAY_FIRST}),
        (["03/04/2026", "04/13/2026"], {DayOrder.MONTH_FIRST}),
        (["03.04.2026"], {DayOrder.DAY_FIRST}),
        (["13/04/2026", "04/13/2026"], set()),
        (["2026-04-03"], set(DayOrder)),
    ],
)
def test_the_days_of_a_file_tell_their_order_together(cells: list[str], left: set[DayOrder]) -> None:
    assert day_orders(cells) == left


def test_the_hour_that_comes_twice_in_autumn_is_told_apart_by_what_went_before() -> None:
    clock = Clock(DayOrder.DAY_FIRST, BERLIN)
    stamps = [
        "2025-10-26 01:30",
        "2025-10-26 02:30",
        "2025-10-26 02:00",
        "2025-10-26 02:30",
        "2025-10-26 03:00",
    ]
    found = [clock.moment(stamp) for stamp in stamps]
    assert found == sorted(set(found))
    assert found[-1] - found[0] == timedelta(hours=2, minutes=30)


@pytest.mark.parametrize(
    ("head", "away"),
    [("Date Time, GMT-05:00", -5), ("Time (UTC+2)", 2), ("Timestamp UTC", 0), ("Date", None)],
)
def test_a_head_may_name_the_zone(head: str, away: int | None) -> None:
    assert zone_of_head(head) == (None if away is None else timezone(timedelta(hours=away)))


def test_cells_are_told_apart() -> None:
    assert is_stamp("2026-06-01 14:00")
    assert has_clock("01/06/2026 14:00")
    assert not has_clock("01/06/2026")
    assert is_clock("14:00")
    assert not is_stamp("24.5")
    assert not is_clock("24.5")
