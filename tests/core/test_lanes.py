"""The almanac's lanes: marks placed on the shared axis, each with its word, kept apart in tracks."""

from datetime import date, timedelta

import pytest

from app.core.lanes import DAY, LETTER, SHAPE, LaneWindow, Row, Stay, axis, lane, paper, row, stay
from app.core.ribbon import ribbon_from_window
from app.core.windows import Window

TODAY = date(2026, 6, 10)
ALONG = axis(date(2026, 6, 1), date(2026, 8, 31), TODAY)


def placed(first: int, last: int | None) -> Stay:
    return stay(ALONG, date(2026, 6, first), date(2026, 6, last) if last else None, "growing", "stands here")


def seen(first: date, days: int, word: str = "drop", *, notch: bool = True) -> LaneWindow:
    window = Window(first, first + timedelta(days=days - 1))
    median = first + timedelta(days=days // 2) if notch else None
    return LaneWindow(ribbon_from_window(window, TODAY, median, span=ALONG.span), word, "birth window")


def rowed(*windows: LaneWindow, label: str = "A1") -> Row:
    return row(ALONG, label, "/d", [], windows)


def test_today_stands_in_the_middle_of_its_day() -> None:
    assert ALONG.today_x == pytest.approx(9.5 / 92 * 1000)


def test_every_monday_is_marked() -> None:
    assert [t.label for t in ALONG.ticks[1:4]] == ["8 Jun", "15 Jun", "22 Jun"]
    assert len(ALONG.ticks) == 14


@pytest.mark.parametrize(("weeks", "size"), [(6, "short"), (12, "season"), (26, "half"), (52, "year")])
def test_an_axis_knows_how_long_it_is(weeks: int, size: str) -> None:
    assert axis(TODAY - timedelta(days=7), TODAY + timedelta(weeks=weeks), TODAY).size == size


def test_a_stay_covers_both_its_days() -> None:
    assert (placed(3, 4).x, placed(3, 4).width) == pytest.approx((2 / 92 * 1000, 2 / 92 * 1000))


def test_an_open_stay_runs_to_the_end() -> None:
    one = placed(11, None)
    assert one.x + one.width == pytest.approx(1000.0)


def test_a_stay_begun_before_the_axis_starts_at_its_edge() -> None:
    one = stay(ALONG, date(2026, 5, 1), date(2026, 6, 2), "adult", "stands here")
    assert (one.x, one.width) == pytest.approx((0.0, 2 / 92 * 1000))


def test_windows_whose_words_have_room_share_a_track() -> None:
    assert rowed(seen(date(2026, 6, 12), 5), seen(date(2026, 7, 14), 5)).tracks == 1


def test_a_window_under_the_word_of_another_takes_a_track_of_its_own() -> None:
    word_days = (SHAPE + LETTER * len("drop")) / DAY
    first = seen(date(2026, 6, 12), 5)
    under = seen(date(2026, 6, 17) + timedelta(days=int(word_days) - 1), 5)
    clear = seen(date(2026, 6, 17) + timedelta(days=int(word_days) + 1), 5)
    assert rowed(first, under).tracks == 2
    assert rowed(first, clear).tracks == 1


def test_the_word_follows_its_window() -> None:
    (one,) = rowed(seen(date(2026, 6, 12), 5)).windows
    assert (one.side, one.word_x) == ("after", one.ribbon.edge_to_x)


def test_at_the_end_of_the_axis_the_word_stands_before_its_window() -> None:
    (one,) = rowed(seen(date(2026, 8, 28), 20)).windows
    assert (one.side, one.word_x) == ("before", one.ribbon.edge_from_x)


def test_in_a_wide_window_without_a_notch_the_word_stands_within() -> None:
    (one,) = rowed(seen(date(2026, 6, 12), 20, notch=False)).windows
    assert (one.side, one.word_x) == ("in", one.ribbon.edge_from_x)


def test_the_row_with_the_soonest_window_comes_first_and_those_without_last() -> None:
    late = rowed(seen(date(2026, 7, 12), 5), label="late")
    soon = rowed(seen(date(2026, 6, 12), 5), label="soon")
    assert [r.label for r in lane("T1", "", "/t", [rowed(label="none"), late, soon]).rows] == [
        "soon", "late", "none",
    ]  # fmt: skip


def test_an_empty_lane_still_takes_a_line() -> None:
    assert lane("T9", "free", "/t", []).tracks == 1


@pytest.mark.parametrize(("tracks", "step"), [(1, 0), (21, 0), (22, 1), (46, 3), (200, 4)])
def test_the_more_lines_the_smaller_they_are_printed(tracks: int, step: int) -> None:
    assert paper([lane("T1", "", "/t", [rowed(label=str(n)) for n in range(tracks)])]) == step
