"""A wall clock's hour on a civil day: daylight saving, quiet hours, once a day."""

from datetime import UTC, date, datetime, time, timedelta

import pytest

from app.core.civil import Quiet, is_time, moment_of, send_clock

BERLIN = "Europe/Berlin"
NIGHT = Quiet(time(22), time(7))


def utc(*parts: int) -> datetime:
    return datetime(*parts, tzinfo=UTC)  # type: ignore[misc,arg-type] # year to minute


# The European Union's rule: the last Sundays of March and October, at 01:00 UTC (Directive 2000/84/EC).
@pytest.mark.parametrize(
    ("day", "clock", "moment"),
    [
        (date(2026, 6, 15), time(7), utc(2026, 6, 15, 5)),
        (date(2026, 12, 15), time(7), utc(2026, 12, 15, 6)),
        (date(2026, 3, 29), time(2, 30), utc(2026, 3, 29, 1, 30)),
        (date(2026, 3, 29), time(7), utc(2026, 3, 29, 5)),
        (date(2026, 10, 25), time(2, 30), utc(2026, 10, 25, 0, 30)),
        (date(2026, 10, 25), time(7), utc(2026, 10, 25, 6)),
    ],
)
def test_an_hour_is_found_on_every_day_of_the_year(day: date, clock: time, moment: datetime) -> None:
    assert moment_of(day, clock, BERLIN) == moment


@pytest.mark.parametrize("day", [date(2026, 3, 29), date(2026, 10, 25), date(2026, 6, 15)])
@pytest.mark.parametrize("clock", [time(0), time(2, 30), time(7), time(23, 59)])
def test_the_hour_of_a_day_comes_and_stays_come(day: date, clock: time) -> None:
    """Minute by minute over the day, also the one of 23 and the one of 25 hours."""
    begin = moment_of(day, time(0), BERLIN)
    end = moment_of(day + timedelta(days=1), time(0), BERLIN)
    minutes = [begin + timedelta(minutes=m) for m in range(int((end - begin).total_seconds()) // 60)]
    told = [is_time(minute, BERLIN, clock, None) for minute in minutes]
    assert told == sorted(told)
    assert any(told)


@pytest.mark.parametrize(
    ("clock", "quiet"),
    [
        (time(22), True),
        (time(23, 59), True),
        (time(0), True),
        (time(6, 59), True),
        (time(7), False),
        (time(21, 59), False),
    ],
)
def test_quiet_goes_over_midnight(clock: time, quiet: bool) -> None:
    assert NIGHT.holds(clock) is quiet


def test_quiet_within_a_day() -> None:
    noon = Quiet(time(12), time(14))
    assert [noon.holds(time(h)) for h in (11, 12, 13, 14)] == [False, True, True, False]


def test_a_message_wanted_in_quiet_hours_goes_when_they_end() -> None:
    assert send_clock(time(6), NIGHT) == time(7)
    assert send_clock(time(23), NIGHT) == time(7)
    assert send_clock(time(8), NIGHT) == time(8)
    assert not is_time(utc(2026, 6, 15, 4, 30), BERLIN, time(6), NIGHT)
    assert is_time(utc(2026, 6, 15, 5, 0), BERLIN, time(6), NIGHT)


def test_a_late_message_is_not_sent_at_night() -> None:
    late = utc(2026, 6, 15, 20, 30)
    assert is_time(late, BERLIN, time(8), None)
    assert not is_time(late, BERLIN, time(8), NIGHT)
