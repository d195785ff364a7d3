"""Columns of loggers' files, guessed from heads and first rows."""

import pytest

from app.core.logger_files.columns import columns_of, scale_of
from app.core.problems import Problem


@pytest.mark.parametrize(
    ("lines", "found"),
    [
        (["2026-06-01 14:00;24,5"], (";", 0, None, 1)),
        (["2026-06-01 14:00\t24,5"], ("\t", 0, None, 1)),
        (["Date,Time,Temp", "2026-06-01,14:00,24.5"], (",", 0, 1, 2)),
        (["#,Date Time,Temp °C", "1,01/06/2026 14:00,24.5", "2,01/06/2026 14:05,24.5"], (",", 1, None, 2)),
        (["time,humidity,temp_c", "2026-06-01 14:00,55,24.5"], (",", 0, None, 2)),
        (["1;2026-06-01 14:00;24.5", "2;2026-06-01 14:05;24.6"], (";", 1, None, 2)),
        (['"Date";"Wasser °C"', '"01.06.2026 14:00";"24,5"'], (";", 0, None, 1)),
        (["Plot: tank 3", "serial 12", "", "Date;Temp", "2026-06-01 14:00;24.5"], (";", 0, None, 1)),
        (["Date,Temp", '2026-06-01 14:00,"24,5"'], (",", 0, None, 1)),
    ],
)
def test_columns_are_guessed(lines: list[str], found: tuple[str, int, int | None, int]) -> None:
    columns = columns_of(lines)
    assert (columns.separator, columns.day, columns.hour, columns.value) == found


def test_the_keeper_may_choose_another_column_of_numbers() -> None:
    lines = ["time;probe a;probe b", "2026-06-01 14:00;24.5;25.5"]
    assert columns_of(lines).value == 1
    assert columns_of(lines, 2).value == 2
    assert columns_of(lines, 7).value == 1
    assert columns_of(lines).numeric == (1, 2)


@pytest.mark.parametrize("lines", [["Date,Temp", "2026-06-01 14:00,24,5"], ["2026-06-01 14:00,24,5"]])
def test_a_comma_that_parts_and_marks_decimals_is_refused(lines: list[str]) -> None:
    with pytest.raises(Problem, match="comma both"):
        columns_of(lines)


@pytest.mark.parametrize("lines", [[], ["hello"], ["a;b", "c;d"], ["24.5;25"], ["2026-06-01;2026-06-02"]])
def test_a_file_without_dates_and_numbers_is_refused(lines: list[str]) -> None:
    with pytest.raises(Problem, match="No line with a date") as problem:
        columns_of(lines)
    assert problem.value.field == "file"


@pytest.mark.parametrize(
    ("head", "cell", "scale"),
    [
        ("Temp °F", "76", "F"),
        ("temp_c", "24", "C"),
        ("Temp", "76 F", "F"),
        ("Temp", "76", "F"),
        ("Temp", "24", "C"),
    ],
)
def test_the_scale_is_said_or_told_by_its_height(head: str, cell: str, scale: str) -> None:
    columns = columns_of([f"Date;{head}", f"2026-06-01 14:00;{cell}"])
    assert scale_of(columns, [["2026-06-01 14:00", cell]]) == scale
