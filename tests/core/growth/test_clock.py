"""Thermal age runs with the water."""

from datetime import date, timedelta

import numpy as np
import pytest

from app.core.growth.clock import clock
from app.core.thermal import TemperatureLog

BORN = date(2026, 1, 1)


def test_without_a_temperature_a_day_is_a_day() -> None:
    assert clock(BORN, None).age_on(BORN + timedelta(days=40)) == 40.0


def test_at_20_degrees_growth_runs_at_little_more_than_half() -> None:
    """Vondracek, Wurtsbaugh & Cech (1988): specific growth 1.7 % at 20 °C against 3.1 % at 25 °C."""
    assert clock(BORN, TemperatureLog.constant(20)).age_on(BORN + timedelta(days=100)) == pytest.approx(55)


def test_ages_and_days_are_each_others_inverse() -> None:
    time = clock(BORN, TemperatureLog(((BORN, 22.0), (BORN + timedelta(days=5), 27.0)), 24.0))
    ages = np.array([0.0, 3.3, 40.0, 222.2])
    assert time.at(time.days(ages)) == pytest.approx(ages)


def test_a_date_is_the_first_whole_day_at_or_after() -> None:
    time = clock(BORN, None)
    assert time.date_after(3.0) == BORN + timedelta(days=3)
    assert time.date_after(3.2) == BORN + timedelta(days=4)
