"""What a keeper reads beside the sexing dates, before, in and after the window."""

from datetime import date, timedelta

import pytest

from app.core.sexing_words import SexingDates, notes
from app.core.species import species
from app.core.thermal import TemperatureLog
from app.core.windows import Window

BORN = date(2026, 1, 1)


def day(age: int) -> date:
    return BORN + timedelta(days=age)


def dates(split: int = 28) -> SexingDates:
    """A guppy batch's dates at 25 °C: first signs at 23 days, half told at 30, nearly all at 38."""
    return SexingDates(day(23), day(30), Window(day(25), day(36)), day(38), day(split), day(min(23, split)))


def said(today: int, split: int = 28, celsius: float = 25.0) -> tuple[str, ...]:
    return notes(species("guppy"), day(today), TemperatureLog.constant(celsius), dates(split))


def test_a_split_before_the_opening_is_said_in_the_order_of_the_days() -> None:
    assert said(10) == (
        (
            "The first males may be fertile by 29 January, and half of the batch can be told only from "
            "31 January. So look every few days from 24 January on, and take out each fish that shows the "
            "first signs of a male."
        ),
    )


def test_a_batch_in_its_window_is_looked_over_from_today_on() -> None:
    assert "So look every few days from 26 January on" in said(25)[0]
    assert said(28)[0].startswith("The first males may be fertile by 29 January")


def test_a_split_that_has_passed_is_told_as_past() -> None:
    assert said(29) == (
        (
            "Males may have been fertile since 29 January: think of every female kept with them since as "
            "mated. Until half of the batch can be told (31 January), look every few days, and take out each "
            "fish that shows the signs of a male."
        ),
    )
    assert "mated. Look every few days, and take out each fish" in said(60)[0]


@pytest.mark.parametrize("today", [10, 45])
def test_a_split_after_the_opening_needs_no_words_before_it_has_passed(today: int) -> None:
    assert said(today, split=45) == ()
    assert said(46, split=45)[0].startswith("Males may have been fertile since 15 February")


def test_water_outside_the_breeding_range_makes_guesses() -> None:
    assert said(10, celsius=32.0)[-1] == "Outside 18 to 31 °C these dates are guesses."
