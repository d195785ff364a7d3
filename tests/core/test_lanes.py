"""The almanac's lanes: marks placed on the shared axis, kept apart in tracks."""

from datetime import date

import pytest

from app.core.lanes import LaneWindow, Stay, axis, lane, stay
from app.core.ribbon import ribbon_from_window
from app.core.windows import Window

TODAY = date(2026, 6, 10)
ALONG = axis(date(2026, 6, 1), date(2026, 6, 20), TODAY)


def placed(first: int, last: int | None, label: str = "batch") -> Stay:
    end = date(2026, 6, last) if last else None
    return stay(ALONG, date(2026, 6, first), end, "growing", label, f"{label} stands here", "/b")


def seen(first: int, last: int) -> LaneWindow:
    window = Window(date(2026, 6, first), date(2026, 6, last))
    return LaneWindow(ribbon_from_window(window, TODAY, span=ALONG.span), "birth window", "/d")


def test_today_stands_in_the_middle_of_its_day() -> None:
    assert ALONG.today_x == 475.0


def test_a_stay_covers_both_its_days() -> None:
    assert (placed(3, 4).x, placed(3, 4).width) == (100.0, 100.0)


def test_an_open_stay_runs_to_the_end() -> None:
    one = placed(11, None)
    assert one.x + one.width == pytest.approx(1000.0)


def test_a_stay_begun_before_the_axis_starts_at_its_edge() -> None:
    one = stay(ALONG, date(2026, 5, 1), date(2026, 6, 2), "adult", "dam", "dam", "/d")
    assert (one.x, one.width) == (0.0, 100.0)


def test_stays_that_overlap_take_two_tracks_and_others_share_one() -> None:
    row = lane("T1", "", "/t", [placed(1, 5), placed(4, 8), placed(6, 9)], [])
    assert [s.track for s in row.stays] == [0, 1, 0]
    assert row.tracks == 2


def test_windows_stand_below_the_stays() -> None:
    row = lane("T1", "", "/t", [placed(1, None)], [seen(5, 8), seen(7, 12)])
    assert [w.track for w in row.windows] == [1, 2]
    assert row.tracks == 3


def test_an_empty_lane_still_has_its_row() -> None:
    assert lane("T9", "", "/t", [], []).tracks == 1
