"""Dated temperatures as people paste them."""

from datetime import date, time

import pytest

from app.core.problems import Problem
from app.core.quantities import Units
from app.core.quantities.dated import MOST_LINES, parse_dated

TODAY = date(2026, 6, 15)


@pytest.mark.parametrize(
    ("line", "day", "at", "celsius"),
    [
        ("2026-06-01 24.5", date(2026, 6, 1), None, 24.5),
        ("2026-06-01\t24,5", date(2026, 6, 1), None, 24.5),
        ("2026/6/1;76 F", date(2026, 6, 1), None, 24.444),
        ("2026-06-01T18:30:00, 24.5 °C", date(2026, 6, 1), time(18, 30), 24.5),
        ("01.06.2026 18:30; 24,5", date(2026, 6, 1), time(18, 30), 24.5),
        ("1.6.26 24", date(2026, 6, 1), None, 24.0),
        ("1.6. 24", date(2026, 6, 1), None, 24.0),
        ("1 June 24.5", date(2026, 6, 1), None, 24.5),
        ("3 Sept, 24.5", date(2025, 9, 3), None, 24.5),
        ("June 1, 2026 6:30 pm 24.5", date(2026, 6, 1), time(18, 30), 24.5),
        ("13/6/2026 24.5", date(2026, 6, 13), None, 24.5),
        ("6/13/2026 24.5", date(2026, 6, 13), None, 24.5),
        ("5/5/2026 24.5", date(2026, 5, 5), None, 24.5),
    ],
)
def test_a_line_is_read_as_people_write_it(line: str, day: date, at: time | None, celsius: float) -> None:
    (read,) = parse_dated(line, TODAY)
    assert read.trouble == ""
    assert (read.day, read.at) == (day, at)
    assert read.celsius == pytest.approx(celsius, abs=0.001)


def test_a_us_keeper_writes_the_month_first_and_means_fahrenheit() -> None:
    (read,) = parse_dated("6/1/2026 76", TODAY, Units.US)
    assert read.day == date(2026, 6, 1)
    assert read.celsius == pytest.approx(24.444, abs=0.001)


def test_a_british_keeper_writes_the_day_first() -> None:
    (read,) = parse_dated("1/6/2026 24", TODAY, Units.IMPERIAL)
    assert read.day == date(2026, 6, 1)


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("1/6/2026 24.5", "two ways"),
        ("24.5", "does not begin with a date"),
        ("2026-06-01 77", "°F?"),
        ("2026-02-30 24.5", "no day"),
        ("2026-06-01 25:10 24.5", "no time of day"),
        ("2026-06-01 warm", "not an amount"),
        ("1 Juli 24.5", "not a month"),
        ("2026-06-01", "empty"),
    ],
)
def test_a_line_that_cannot_be_read_names_its_trouble_and_keeps_its_text(line: str, words: str) -> None:
    (read,) = parse_dated(line, TODAY)
    assert words in read.trouble
    assert read.text == line
    assert read.celsius is None


def test_headings_and_empty_lines_are_passed_over() -> None:
    assert len(parse_dated("Date\tTemp\n\n2026-06-01\t24\n2026-06-02\t25\n", TODAY)) == 2


def test_nothing_and_far_too_much_are_refused() -> None:
    with pytest.raises(Problem, match="No line"):
        parse_dated("Date, temperature", TODAY)
    with pytest.raises(Problem, match="at most"):
        parse_dated("2026-06-01 24\n" * (MOST_LINES + 1), TODAY)
