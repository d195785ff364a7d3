"""Nitrate production is fitted to readings, and the ceiling's date follows."""

from datetime import date, timedelta

import numpy as np
import pytest

from app.core.problems import Problem
from app.core.water.mixing import after_change
from app.core.water.nitrate import (
    KIT_CV,
    KIT_FLOOR,
    Change,
    Production,
    Reading,
    from_feed,
    outlook,
)

START = date(2025, 3, 1)


def on(day: int) -> date:
    return START + timedelta(days=day)


def tank(
    production: float, litres: float, days: int, changes: list[Change], start: float = 2.0
) -> list[float]:
    """Return the true level at the start of each day, before that day's change."""
    level, levels = start, []
    for day in range(days):
        levels.append(level)
        for change in changes:
            if change.day == on(day):
                level = after_change(level, change.source_mg_per_l, change.fraction)
        level += production / litres
    return levels


CHANGES = [Change(on(7), 0.3, 5.0), Change(on(14), 0.5, 5.0)]


def test_exact_readings_give_back_the_production_through_changes() -> None:
    levels = tank(60.0, 100.0, 21, CHANGES)
    readings = [Reading(on(day), levels[day]) for day in (0, 6, 7, 13, 20)]
    found = outlook(100.0, readings, CHANGES, on(20), ceiling_mg_per_l=40)
    assert found.production is not None
    assert found.production.mg_per_day == pytest.approx(60.0)
    assert found.today_mg_per_l == pytest.approx(levels[20])


def test_the_median_day_is_when_the_true_level_reaches_the_ceiling() -> None:
    levels = tank(60.0, 100.0, 60, CHANGES)
    readings = [Reading(on(day), levels[day]) for day in (0, 6, 13, 20)]
    found = outlook(100.0, readings, CHANGES, on(20), ceiling_mg_per_l=15)
    reached = next(day for day in range(20, 60) if levels[day] >= 15)
    assert found.median == on(reached)
    assert found.reaches is not None
    assert found.reaches.holds(on(reached))


def test_planned_changes_put_the_ceiling_off() -> None:
    readings = [Reading(on(day), 2.0 + day) for day in (0, 5, 10)]
    without = outlook(100.0, readings, [], on(10), ceiling_mg_per_l=20)
    with_one = outlook(100.0, readings, [Change(on(14), 0.5)], on(10), ceiling_mg_per_l=20)
    assert without.median == on(18)
    assert with_one.median == on(26)


def test_feed_alone_gives_production_by_its_nitrogen() -> None:
    assert from_feed(2.0, 0.45).mg_per_day == pytest.approx(
        2.0 * 0.45 * 0.16 * 0.7 * 4.42664 * 1000, rel=1e-5
    )
    found = outlook(100.0, [Reading(on(0), 10.0)], [], on(0), prior=from_feed(0.5, 0.4))
    assert found.production is not None
    assert found.production.mg_per_day == pytest.approx(from_feed(0.5, 0.4).mg_per_day)
    assert found.reaches is not None


def test_one_reading_without_feed_tells_no_production() -> None:
    found = outlook(100.0, [Reading(on(0), 10.0)], [], on(0))
    assert (found.production, found.reaches, found.median) == (None, None, None)
    assert found.today_mg_per_l == pytest.approx(10.0)


def test_readings_pull_production_away_from_the_feeds_guess() -> None:
    guess = Production(100.0, 50.0)
    few = outlook(100.0, [Reading(on(d), 5 + 0.3 * d) for d in (0, 20)], [], on(20), prior=guess)
    many = outlook(100.0, [Reading(on(d), 5 + 0.3 * d) for d in range(0, 41, 4)], [], on(40), prior=guess)
    assert few.production is not None
    assert many.production is not None
    assert 100 > few.production.mg_per_day > many.production.mg_per_day > 30
    assert many.production.sd < few.production.sd < guess.sd


def test_a_level_that_does_not_rise_reaches_no_ceiling() -> None:
    readings = [Reading(on(day), 5.0) for day in range(0, 60, 5)]
    found = outlook(100.0, readings, [], on(55), ceiling_mg_per_l=80)
    assert found.median is None
    assert found.reaches is None


def test_a_level_above_the_ceiling_has_reached_it_today() -> None:
    found = outlook(100.0, [Reading(on(d), 30 + d) for d in (0, 10)], [], on(10), ceiling_mg_per_l=20)
    assert found.reaches is not None
    assert found.reaches.start == found.median == on(10)


@pytest.mark.slow
def test_windows_hold_the_true_day_as_often_as_they_say() -> None:
    rng = np.random.default_rng(20250301)
    held = []
    for _ in range(400):
        made = float(rng.uniform(40, 90))
        levels = tank(made, 100.0, 200, [])
        readings = [
            Reading(on(day), max(0.0, levels[day] + (KIT_FLOOR + KIT_CV * levels[day]) * float(rng.normal())))
            for day in range(0, 29, 4)
        ]
        found = outlook(100.0, readings, [], on(28), ceiling_mg_per_l=60, prior=Production(60.0, 20.0))
        reached = next(day for day in range(200) if levels[day] >= 60)
        held.append(found.reaches is not None and found.reaches.holds(on(reached)))
    assert 0.72 <= float(np.mean(held)) <= 0.90


@pytest.mark.parametrize(
    ("readings", "litres", "field", "words"),
    [
        ([], 100, "readings", "at least one"),
        ([Reading(on(0), 1), Reading(on(0), 2)], 100, "readings", "two readings on 2025-03-01"),
        ([Reading(on(9), 1)], 100, "readings", "lies after today"),
        ([Reading(on(0), -1)], 100, "readings", "below zero"),
        ([Reading(on(0), 1)], 0, "litres", "above 0"),
    ],
)
def test_impossible_readings_are_refused(
    readings: list[Reading], litres: float, field: str, words: str
) -> None:
    with pytest.raises(Problem, match=words) as caught:
        outlook(litres, readings, [], on(5))
    assert caught.value.field == field


def test_impossible_feed_is_refused() -> None:
    with pytest.raises(Problem, match=r"45 %\? Then give 0\.45"):
        from_feed(1, 45)
    with pytest.raises(Problem, match="below zero"):
        from_feed(-1, 0.4)
