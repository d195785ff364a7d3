"""Tests of how long a project lasts: the keeper's numbers first, else the models of drop and growth."""

from datetime import date, timedelta

import numpy as np
import pytest

from app.core.day_distribution import DayDistribution
from app.core.durations import LONGEST_RAISING_DAYS, first_drop, project_lasts, raising, settled
from app.core.problems import Problem
from app.core.species import SPECIES

GUPPY = SPECIES["guppy"]


def middle(lasts: tuple[float, ...]) -> int:
    return int(np.searchsorted(np.cumsum(lasts), 0.5))


@pytest.mark.parametrize("key", SPECIES)
def test_every_species_has_a_duration_that_adds_up(key: str) -> None:
    lasts = project_lasts(SPECIES[key], 25)
    assert sum(lasts) == pytest.approx(1)
    assert min(lasts) >= 0
    assert len(lasts) <= LONGEST_RAISING_DAYS + 1 + len(first_drop(SPECIES[key]))


def test_it_is_the_wait_for_a_drop_and_then_the_raising() -> None:
    wait, raise_days = middle(first_drop(GUPPY)), middle(raising(GUPPY, 25))
    assert wait == round(GUPPY.first_brood_days)
    assert abs(middle(project_lasts(GUPPY, 25)) - wait - raise_days) <= 2


def test_cooler_water_makes_it_longer() -> None:
    assert middle(raising(GUPPY, 22)) > middle(raising(GUPPY, 26))


def test_the_keepers_numbers_go_first() -> None:
    assert project_lasts(GUPPY, 25, 90, 91) == (*[0.0] * 90, 0.5, 0.5)
    assert project_lasts(GUPPY, 25, None, 3) == (0.0, 0.0, 0.0, 1.0)
    with pytest.raises(Problem, match="from 9 to 3 days"):
        project_lasts(GUPPY, 25, 9, 3)


def test_what_may_never_come_is_planned_last_and_nothing_before_today() -> None:
    first = date(2026, 5, 1)
    when = settled(DayDistribution(first, (0.25, 0.25, 0.25)), first + timedelta(days=1))
    assert when == DayDistribution(first + timedelta(days=1), (0.5, 0.5))
