"""A window drawn: where its parts stand and what its sentence says."""

from datetime import date, timedelta
from itertools import pairwise

import pytest
from scipy.stats import norm

from app.core.problems import Problem
from app.core.ribbon import Ribbon, Scale, ribbon_from_cdf, ribbon_from_window, window_sentence
from app.core.windows import Window

TODAY = date(2026, 6, 4)
MEDIAN = date(2026, 6, 12)
WINDOW = Window(date(2026, 6, 8), date(2026, 6, 17), 0.8)


def chance_by(day: date) -> float:
    """Spread normally about the median, by the end of each day (scipy as the reference)."""
    return float(norm.cdf((day - MEDIAN).days + 0.5, scale=3.5))


def drawn(**changes: object) -> Ribbon:
    return ribbon_from_cdf(chance_by, WINDOW, MEDIAN, TODAY, **changes)  # type: ignore[arg-type]


def test_the_sentence_gives_the_median_and_the_window() -> None:
    assert drawn().sentence == "most likely 12 June; 8–17 June in 8 of 10 cases like this"


def test_the_sentence_names_the_year_when_it_is_another() -> None:
    window = Window(date(2026, 12, 28), date(2027, 1, 4), 0.95)
    said = window_sentence(window, date(2027, 1, 1), TODAY)
    assert said == "most likely 1 January 2027; 28 December – 4 January 2027 in 19 of 20 cases like this"


def test_the_sentence_ends_with_the_truth_once_known() -> None:
    assert drawn(truth=date(2026, 6, 13)).sentence.endswith("; truly 13 June")


def test_the_deepest_day_is_the_likeliest() -> None:
    ribbon = drawn()
    deepest = max(ribbon.bins, key=lambda b: b.opacity)
    assert deepest.opacity == pytest.approx(1.0)
    assert ribbon.median_x == pytest.approx(deepest.x + deepest.width / 2, abs=0.01)


def test_colour_fades_with_the_chance_of_the_day() -> None:
    ribbon = drawn()
    by_day = {round(b.x / b.width): b.opacity for b in ribbon.bins}
    peak = (MEDIAN - ribbon.start).days
    ratio = norm.pdf(1, scale=3.5) / norm.pdf(0, scale=3.5)
    assert by_day[peak + 1] == pytest.approx(ratio**0.75, abs=0.01)
    assert by_day[peak] > by_day[peak + 2] > by_day[peak + 5]


def test_edges_enclose_the_whole_of_both_end_days() -> None:
    ribbon = drawn(span=(date(2026, 6, 1), date(2026, 6, 20)))
    assert (ribbon.edge_from_x, ribbon.edge_to_x) == (350.0, 850.0)


def test_today_and_truth_stand_in_the_middle_of_their_day() -> None:
    ribbon = drawn(span=(date(2026, 6, 1), date(2026, 6, 20)), truth=date(2026, 6, 20))
    assert (ribbon.today_x, ribbon.truth_x) == (175.0, 975.0)


def test_what_lies_off_the_axis_is_not_drawn() -> None:
    ribbon = drawn(span=(date(2026, 6, 10), date(2026, 6, 11)))
    assert (ribbon.today_x, ribbon.median_x) == (None, None)
    assert (ribbon.edge_from_x, ribbon.edge_to_x) == (0.0, 1000.0)


def test_today_does_not_squeeze_a_window_whose_truth_is_known() -> None:
    later = date(2026, 7, 20)
    known = ribbon_from_cdf(chance_by, WINDOW, MEDIAN, later, truth=date(2026, 6, 13))
    awaited = ribbon_from_cdf(chance_by, WINDOW, MEDIAN, later)
    assert (known.today_x, known.truth_x is None) == (None, False)
    assert awaited.today_x is not None
    assert known.end < later < awaited.end


def test_a_day_long_past_does_not_squeeze_the_window() -> None:
    ribbon = ribbon_from_cdf(chance_by, WINDOW, MEDIAN, date(2026, 1, 1))
    assert ribbon.today_x is None
    assert ribbon.start == date(2026, 6, 2)


def test_days_that_cannot_be_are_left_blank() -> None:
    ribbon = ribbon_from_cdf(lambda day: max(0.0, chance_by(day) - chance_by(TODAY)), WINDOW, MEDIAN, TODAY)
    first = min(b.x for b in ribbon.bins)
    assert ribbon.today_x is not None
    assert first > ribbon.today_x


def test_a_forecast_without_any_chance_draws_its_window_only() -> None:
    ribbon = ribbon_from_cdf(lambda _day: 0.0, WINDOW, MEDIAN, TODAY)
    assert ribbon.bins == ()
    assert ribbon.edge_from_x < ribbon.edge_to_x


def test_a_bare_window_is_one_even_tone_without_a_notch() -> None:
    ribbon = ribbon_from_window(WINDOW, TODAY, stage="sexing")
    assert {b.opacity for b in ribbon.bins} == {0.45}
    (only,) = ribbon.bins
    assert (only.x, only.x + only.width) == pytest.approx((ribbon.edge_from_x, ribbon.edge_to_x))
    assert ribbon.median_x is None
    assert ribbon.sentence == "8–17 June in 8 of 10 cases like this"


@pytest.mark.parametrize("start", [date(2026, 2, 3), date(2026, 11, 21), date(2026, 12, 30)])
@pytest.mark.parametrize("days", [0, 1, 4, 9, 13, 20, 34, 48, 69, 84, 120, 365, 800, 3000])
def test_labels_have_room_on_a_phone(start: date, days: int) -> None:
    ticks = Scale(start, start + timedelta(days=days)).ticks()
    labels = [t for t in ticks if t.label]
    letter = 1000 * 7.4 / 230  # the width of a letter of 13 px, on an axis of 230 px
    assert labels
    assert all(
        (b.x - a.x) - letter * (len(a.label) + len(b.label)) / 2 > 0.3 * letter for a, b in pairwise(labels)
    )


@pytest.mark.parametrize("days", range(1, 800, 3))
def test_an_axis_of_some_length_has_at_least_two_labels(days: int) -> None:
    ticks = Scale(date(2026, 2, 3), date(2026, 2, 3) + timedelta(days=days)).ticks()
    assert len([t for t in ticks if t.label]) >= (2 if days > 2 else 1), ticks


def test_days_as_likely_as_the_next_are_one_piece() -> None:
    even = ribbon_from_cdf(lambda day: (day - TODAY).days / 30, WINDOW, MEDIAN, TODAY)
    assert len(even.bins) == 1


def test_an_axis_that_ends_before_it_starts_is_refused() -> None:
    with pytest.raises(Problem, match="before it starts") as refused:
        drawn(span=(date(2026, 6, 2), date(2026, 6, 1)))
    assert refused.value.field == "span"
