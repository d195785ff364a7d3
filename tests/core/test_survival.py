"""Survival against published remission times and a general-purpose library."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lifelines import KaplanMeierFitter
from scipy.stats import betabinom

from app.core.batches import count, loss, rehomed, split_out, start
from app.core.problems import Problem
from app.core.survival import _log_mass, book_from_counts, kaplan_meier, median_time, survival
from tests.reference.published import Case, case, cases

MAY = date(2026, 5, 1)


def day(n: int) -> date:
    return MAY + timedelta(days=n)


def arm() -> tuple[list[int], list[int]]:
    """The 6-MP arm of Freireich et al. (1963)."""
    inputs = case("10.6MP.med").inputs
    return inputs["time_6mp"], inputs["event_6mp"]


NUMBERED = [case(f"10.6MP.{n}") for n in (1, 2, 4, 5, 7)]


@pytest.mark.parametrize("published", NUMBERED, ids=lambda c: c.id)
def test_remission_under_6mp(published: Case) -> None:
    times, events = arm()
    curve = kaplan_meier(times, [bool(e) for e in events])
    (step,) = [s for s in curve if s.time == published.inputs["t"]]
    found = [step.at_risk, step.deaths, step.alive, step.se]
    assert found == pytest.approx(published.expected, abs=published.tol)


def test_median_remissions() -> None:
    published = case("10.6MP.med")
    times, events = arm()
    placebo = published.inputs["placebo"]
    found = [
        median_time(kaplan_meier(times, [bool(e) for e in events])),
        median_time(kaplan_meier(placebo, [True] * len(placebo))),
    ]
    assert found == published.expected


def test_placebo_arm_without_censoring() -> None:
    published = case("10.PLA.1")
    placebo = published.inputs["placebo"]
    curve = {s.time: s.alive for s in kaplan_meier(placebo, [True] * len(placebo))}
    assert [curve[t] for t in (1, 5, 8, 12, 22)] == pytest.approx(published.expected, abs=published.tol)


def test_a_death_comes_before_a_removal_of_the_same_time() -> None:
    published = case("10.ORDER")
    times, events = arm()
    first = kaplan_meier(times, [bool(e) for e in events])[0]
    assert [first.at_risk, first.deaths, first.alive] == pytest.approx(published.expected, abs=published.tol)


def test_every_survival_case_is_covered() -> None:
    covered = {c.id for c in NUMBERED} | {"10.6MP.med", "10.PLA.1", "10.ORDER"}
    assert {c.id for c in cases(10)} == covered


FISH = st.lists(st.tuples(st.integers(0, 60), st.booleans()), min_size=1, max_size=40)


@settings(deadline=None)
@given(FISH)
def test_curves_agree_with_lifelines(fish: list[tuple[int, bool]]) -> None:
    times, died = [t for t, _ in fish], [d for _, d in fish]
    theirs = KaplanMeierFitter().fit(np.array(times) + 1, died)  # it refuses deaths at 0
    for step in kaplan_meier([t + 1 for t in times], died):
        assert step.alive == pytest.approx(float(theirs.predict(step.time)), abs=1e-12)


def test_greenwoods_error_agrees_with_lifelines() -> None:
    times, events = arm()
    theirs = KaplanMeierFitter().fit(times, events)
    for step in kaplan_meier(times, [bool(e) for e in events])[:-1]:
        summed = float(theirs._cumulative_sq_.loc[step.time])
        assert step.se == pytest.approx(step.alive * summed**0.5, abs=1e-12)


def test_a_batchs_book_gives_the_same_curve_as_its_fish() -> None:
    book = [start(MAY, 10), loss(day(3), 2), rehomed(day(5), 3), loss(day(9), 1), split_out(day(9), 1, 1)]
    times = [3, 3, 5, 5, 5, 9, 9, 20, 20, 20]
    died = [True, True, False, False, False, True, False, False, False, False]
    by_fish = kaplan_meier(times, died)
    by_book = survival(book, day(20)).curve
    assert [p.alive for p in by_book] == pytest.approx([1.0, *(s.alive for s in by_fish)])
    assert [p.se for p in by_book] == pytest.approx([0.0, *(s.se for s in by_fish)])


def test_a_loss_that_only_a_count_shows_falls_on_the_count() -> None:
    found = survival([start(MAY, 20), count(day(14), 15)], day(14))
    assert [(p.day, p.alive) for p in found.curve] == [(MAY, 1.0), (day(14), 0.75)]
    assert (found.alive, found.half_dead_on) == (15, None)


def test_the_day_by_which_half_had_died() -> None:
    found = survival([start(MAY, 20), count(day(7), 14), count(day(14), 9)], day(14))
    assert found.half_dead_on == day(14)


def test_the_forecast_for_today_is_what_is_there() -> None:
    today = survival([start(MAY, 20), count(day(7), 18)], day(7)).forecast
    assert (today.median, today.p10, today.p90) == (18, 18, 18)


def test_numbers_only_fall_with_time() -> None:
    book = [start(MAY, 60), count(day(7), 50), count(day(14), 45)]
    ahead = [survival(book, day(14 + h)).forecast for h in (1, 7, 14, 28, 56)]
    assert [f.median for f in ahead] == sorted((f.median for f in ahead), reverse=True)
    assert all(f.p10 <= f.median <= f.p90 <= 45 for f in ahead)


def test_a_batch_that_loses_many_is_expected_to_lose_more() -> None:
    calm = survival([start(MAY, 60), count(day(14), 60)], day(42)).forecast
    bad = survival([start(MAY, 90), count(day(14), 60)], day(42)).forecast
    assert calm.median > 55
    assert bad.median < calm.median - 5


def test_old_losses_fade() -> None:
    early = survival([start(MAY, 60), count(day(7), 45), count(day(84), 45)], day(112)).forecast
    late = survival([start(MAY, 60), count(day(77), 60), count(day(84), 45)], day(112)).forecast
    assert early.median > late.median + 3


def test_a_batch_with_none_left_stays_empty() -> None:
    gone = survival([start(MAY, 5), count(day(3), 0)], day(30)).forecast
    assert (gone.median, gone.p90) == (0, 0)


def test_fish_found_again_do_not_break_the_curve() -> None:
    found = survival([start(MAY, 10), count(day(3), 7), count(day(6), 12), loss(day(8), 2)], day(8))
    assert [p.alive for p in found.curve] == pytest.approx([1.0, 0.7, 0.7 * 10 / 12])


@given(st.integers(1, 60), st.floats(0.2, 50), st.floats(0.2, 50))
def test_beta_binomial_mass_agrees_with_scipy(n: int, a: float, b: float) -> None:
    theirs = betabinom.pmf(np.arange(n + 1), n, a, b)
    assert np.exp(_log_mass(n, a, b)) == pytest.approx(theirs, abs=1e-9)


def test_dated_counts_become_a_book() -> None:
    book = book_from_counts([(day(14), 15), (MAY, 20)], [(day(10), 3)])
    found = survival(book, day(14))
    assert found.alive == 15
    assert found.curve[-1].alive == pytest.approx(15 / 17)


@pytest.mark.parametrize(
    ("counts", "says"),
    [
        ([], "no counts; give at least one"),
        ([(MAY, 20), (MAY, 18)], "two counts on 1 May 2026, 20 and 18; keep one a day"),
        ([(MAY, 0), (day(9), 3)], "no fish alive on 1 May 2026, the first count; begin with one or more"),
    ],
)
def test_bad_counts_are_refused(counts: list[tuple[date, int]], says: str) -> None:
    with pytest.raises(Problem, match=says):
        book_from_counts(counts)


def test_no_book_no_curve() -> None:
    with pytest.raises(Problem, match="no counts yet"):
        survival([], MAY)


def test_a_forecast_into_the_past_is_refused() -> None:
    with pytest.raises(Problem, match="lies before the last count"):
        survival([start(MAY, 5), count(day(3), 5)], day(2))


def test_nobody_to_follow_is_refused() -> None:
    with pytest.raises(Problem, match="no fish to follow"):
        kaplan_meier([], [])
    with pytest.raises(Problem, match="a time of 0 or more"):
        kaplan_meier([-1], [True])
