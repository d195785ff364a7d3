"""Thermal time: Q10, growth multipliers, and what a log says of a day."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.problems import Problem
from app.core.thermal import TemperatureLog, celsius, clock_rate, clock_rate_at, growth_multiplier

MAY = date(2026, 5, 1)


def log(*readings: tuple[int, float], set_point: float = 25.0) -> TemperatureLog:
    return TemperatureLog(tuple((MAY + timedelta(d), c) for d, c in readings), set_point)


def test_mosquitofish_intervals_at_25_and_30_degrees_agree() -> None:
    # Vondracek, Wurtsbaugh & Cech 1988: 22.6 d at 25 °C, 18.6 d at 30 °C
    assert 22.6 / clock_rate_at(30) == pytest.approx(18.6, abs=0.05)


@pytest.mark.parametrize(
    ("temperature", "multiplier"),
    [(20, 1.22), (22, 1.12), (24, 1.04), (26, 0.96), (28, 0.89), (30, 0.82)],
)
def test_interval_multipliers_match_the_table(temperature: float, multiplier: float) -> None:
    assert 1 / clock_rate_at(temperature) == pytest.approx(multiplier, abs=0.006)


def test_the_clock_is_held_to_18_and_31_degrees() -> None:
    assert clock_rate([10, 18, 31, 40]) == pytest.approx(clock_rate([18, 18, 31, 31]))


@pytest.mark.parametrize(
    ("temperature", "multiplier"),
    [(15, 0.55), (20, 0.55), (22, 0.75), (23.5, 0.875), (25, 1.0), (28, 1.08), (30, 1.10), (33, 1.10)],
)
def test_growth_multipliers(temperature: float, multiplier: float) -> None:
    assert growth_multiplier(temperature) == pytest.approx(multiplier)


def test_readings_are_joined_across_short_gaps() -> None:
    assert log((0, 24), (4, 26)).at(MAY + timedelta(1)) == pytest.approx(24.5)


def test_a_long_gap_has_the_set_point() -> None:
    assert log((0, 24), (12, 26), set_point=22).at(MAY + timedelta(6)) == 22


def test_a_read_day_has_its_reading_even_between_long_gaps() -> None:
    readings = log((0, 24), (12, 26), (30, 23), set_point=22)
    assert [readings.at(MAY + timedelta(d)) for d in (0, 12, 30)] == [24, 26, 23]


def test_the_last_reading_speaks_for_three_days() -> None:
    readings = log((0, 24), (2, 27))
    assert [readings.at(MAY + timedelta(d)) for d in (3, 5, 6)] == [27, 27, 25]


def test_before_the_first_reading_the_set_point_holds() -> None:
    assert log((5, 28)).at(MAY) == 25


def test_a_log_without_set_point_expects_its_last_fortnight() -> None:
    readings = tuple((MAY + timedelta(d), c) for d, c in ((0, 20.0), (20, 26.0), (22, 28.0)))
    assert TemperatureLog.of(readings).set_point_c == pytest.approx(27)


def test_the_swing_is_the_spread_of_the_readings() -> None:
    assert log((0, 24), (1, 26)).swing_c == pytest.approx(1)
    assert TemperatureLog.constant(25).swing_c == 0


def test_thirty_days_at_reference_are_thirty_thermal_days() -> None:
    assert TemperatureLog.constant(25).thermal_days(MAY, MAY + timedelta(30)) == pytest.approx(30)


def test_thermal_days_integrate_a_change_of_temperature() -> None:
    # ten days at 25 °C, then at 30 °C, with one day in between
    readings = log(*((d, 25 if d <= 10 else 30) for d in range(21)), set_point=30)
    expected = 10 + (1 + clock_rate_at(30)) / 2 + 9 * clock_rate_at(30)
    assert readings.thermal_days(MAY, MAY + timedelta(20)) == pytest.approx(expected)


def test_growing_days_slow_down_more_than_the_clock() -> None:
    cold = TemperatureLog.constant(20)
    end = MAY + timedelta(100)
    assert cold.growing_days(MAY, end) == pytest.approx(55)
    assert cold.thermal_days(MAY, end) == pytest.approx(82.3, abs=0.1)


@given(st.floats(18, 31), st.integers(1, 200), st.integers(1, 200))
def test_thermal_days_add_up(temperature: float, one: int, other: int) -> None:
    tank = TemperatureLog.constant(temperature)
    middle, end = MAY + timedelta(one), MAY + timedelta(one + other)
    assert tank.thermal_days(MAY, middle) + tank.thermal_days(middle, end) == pytest.approx(
        tank.thermal_days(MAY, end)
    )


@given(st.lists(st.floats(18, 31), min_size=2, max_size=40), st.floats(0.01, 3))
def test_a_warmer_log_never_passes_fewer_thermal_days(values: list[float], warmer: float) -> None:
    cool = log(*enumerate(values))
    warm = log(*((d, min(c + warmer, 31)) for d, c in enumerate(values)), set_point=26)
    assert np.all(warm.clock(MAY, 60) >= cool.clock(MAY, 60))


def test_fahrenheit_is_refused() -> None:
    with pytest.raises(Problem, match=r"77 looks like °F\? Give °C \(18 to 31 is usual\)"):
        celsius(77)


@pytest.mark.parametrize("value", [-1.0, float("nan")])
def test_no_tank_is_frozen(value: float) -> None:
    with pytest.raises(Problem, match="is no tank temperature"):
        celsius(value)


def test_fahrenheit_in_a_log_is_refused() -> None:
    with pytest.raises(Problem, match="°F"):
        log((0, 25), (1, 78))


def test_two_temperatures_of_one_day_are_refused() -> None:
    with pytest.raises(Problem, match=r"two temperatures on 2026-05-01; keep one a day"):
        log((0, 25), (0, 26))


def test_readings_out_of_order_are_refused() -> None:
    with pytest.raises(Problem, match="in order of date"):
        log((3, 25), (1, 26))


def test_an_empty_list_of_temperatures_is_refused() -> None:
    with pytest.raises(Problem, match="at least one reading"):
        TemperatureLog.of(())
