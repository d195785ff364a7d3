"""Whole files of loggers."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from app.core.logger_files import DayOrder, LoggerFile, Wanted, decoded, read_file, rows_of
from app.core.logger_files import file as whole
from app.core.problems import Problem

NOW = datetime(2026, 6, 15, 12, 0, tzinfo=UTC)


def read(text: str, wanted: Wanted | None = None) -> LoggerFile:
    return read_file(text, ZoneInfo("Europe/Berlin"), NOW, wanted)


def test_a_file_becomes_moments_and_degrees() -> None:
    found = read("Date;Time;Temp\n2026-06-01;14:00;24,5\n2026-06-01;14:05;24,6\n")
    assert [(row.line, row.at.isoformat(), row.value) for row in found.rows] == [
        (2, "2026-06-01T12:00:00+00:00", 24.5),
        (3, "2026-06-01T12:05:00+00:00", 24.6),
    ]
    assert (found.ready, found.unit, found.zone, found.troubles) == (True, "C", "Europe/Berlin", ())
    assert found.last - found.first == timedelta(minutes=5)


def test_fahrenheit_is_turned_and_can_be_overruled() -> None:
    text = "Date,Temp (F)\n2026-06-01 14:00,41\n"
    assert read(text).rows[0].value == pytest.approx(5)
    assert read(text, Wanted(unit="C")).rows[0].value == 41


def test_the_zone_of_the_head_goes_before_the_fishrooms() -> None:
    found = read('#,"Date Time, GMT-05:00",Temp\n1,06/13/2026 07:00,24\n2,06/13/2026 07:05,24\n')
    assert found.rows[0].at == datetime(2026, 6, 13, 12, 0, tzinfo=UTC)
    assert found.zone == "UTC-05:00"
    assert found.order is DayOrder.MONTH_FIRST


def test_days_that_can_be_read_two_ways_are_asked_about() -> None:
    text = "Date,Temp\n03/04/2026 14:00,24\n04/04/2026 14:00,24\n"
    found = read(text)
    assert (found.asks_order, found.ready) == (True, False)
    chosen = read(text, Wanted(order=DayOrder.MONTH_FIRST))
    assert (chosen.asks_order, chosen.ready) == (False, True)
    assert [row.at.month for row in chosen.rows] == [3, 4]


def test_a_day_that_tells_its_order_goes_before_the_choice() -> None:
    found = read("Date,Temp\n03/04/2026,24\n23/04/2026,24\n", Wanted(order=DayOrder.MONTH_FIRST))
    assert found.order is DayOrder.DAY_FIRST


def test_what_cannot_be_read_is_told_by_its_line() -> None:
    found = read(
        "Date;Temp\n2026-06-01 14:00;24\nsoon;24\n2026-06-02;77\n2026-06-03;warm\n2026-07-01;24\n"
        "1999-01-01;24\n2026-06-04\n2026-06-05;24\n"
    )
    assert [row.line for row in found.rows] == [2, 9]
    assert [(one.line, one.words.split(";")[0]) for one in found.troubles] == [
        (3, "'soon' is no date"),
        (4, "no tank has a temperature of 77 °C"),
        (5, "'warm' is not a number"),
        (6, "still ahead"),
        (7, "more than 20 years ago"),
        (8, "columns are missing"),
    ]


def test_gaps_and_repeats_are_counted_and_no_trouble() -> None:
    found = read("Date;Temp\n2026-06-01 14:00;24\n2026-06-01 14:05;\n\n2026-06-01 14:00;25\n")
    assert (len(found.rows), found.blank, found.repeated, found.troubles) == (1, 1, 1, ())


def test_the_first_rows_are_shown_beside_their_lines() -> None:
    found = read("Date;Temp\n2026-06-01 14:00;24\nbad;24\n2026-06-01 14:05;25\n")
    shown = [(text, row.value) for text, row in rows_of(found, 5)]
    assert shown == [("2026-06-01 14:00;24", 24.0), ("2026-06-01 14:05;25", 25.0)]


def test_far_too_many_lines_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(whole, "MOST_ROWS", 2)
    with pytest.raises(Problem, match="at most 2"):
        read("Date;Temp\n" + "2026-06-01 14:00;24\n" * 3)


def test_what_is_no_text_is_refused() -> None:
    with pytest.raises(Problem):
        read("\x00\x01\x02;PNG")


@pytest.mark.parametrize("code", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_degree_sign_is_read_in_every_usual_code(code: str) -> None:
    assert decoded("Wärme °C".encode(code)) == "Wärme °C"


@pytest.mark.parametrize(
    ("head", "cell", "quantity", "unit", "value"),
    [
        ("pH", "7,2", "pH", "pH", 7.2),
        ("Water pH", "7.2", "pH", "pH", 7.2),
        ("GH (ppm)", "178.48", "GH", "ppm", 10.0),  # 1 °dH = 17.848 mg/L CaCO3
        ("KH", "4", "KH", "dH", 4.0),
        ("Salinity g/L", "2.5", "salinity", "g/L", 2.5),
        ("Salinity mg/L", "2500", "salinity", "mg/L", 2.5),
        ("NO3 mg/L N", "10", "nitrate", "mg/L N", 44.27),  # molar masses NO3 62.004, N 14.007
        ("Ammonia", "0.25", "total ammonia", "mg/L", 0.25),
        ("Nitrite", "0.1", "nitrite", "mg/L", 0.1),
        ("NO3-N (mg/L)", "5", "nitrate", "mg/L N", 22.13),
        ("Nitrate mg/L north", "5", "nitrate", "mg/L", 5.0),
        ("NO2-N", "0.1", "nitrite", "mg/L N", 0.3285),  # NO2 46.005
        ("NH4 mg/L", "0.5", "total ammonia", "mg/L NH4", 0.3882),  # NH4 18.039
        ("NH3 (mg/L)", "0.5", "total ammonia", "mg/L NH3", 0.4112),  # NH3 17.031
        ("NH4-N", "0.5", "total ammonia", "mg/L", 0.5),
        ("Salinity ppm", "2500", "salinity", "mg/L", 2.5),
        ("salinity SG", "1.003", "salinity", "SG", 3.97),  # as a hand test of SG 1.003
        ("Temp salt tank", "24.5", "temperature", "C", 24.5),
        ("Temperature (pH probe)", "24.5", "temperature", "C", 24.5),
        ("Probe 1", "24.5", "temperature", "C", 24.5),
    ],
)
def test_the_head_tells_what_is_measured_and_its_unit(
    head: str, cell: str, quantity: str, unit: str, value: float
) -> None:
    found = read(f"Date;{head}\n2026-06-01 14:00;{cell}\n")
    assert (found.quantity, found.unit) == (quantity, unit)
    assert found.rows[0].value == pytest.approx(value, rel=1e-3)


def test_of_several_columns_the_temperature_is_read_first_and_the_others_by_choice() -> None:
    text = "Time,pH,Temp C,Battery %\n2026-06-01 14:00,7.4,24.5,80\n"
    assert (read(text).quantity, read(text).rows[0].value) == ("temperature", 24.5)
    chosen = read(text, Wanted(column=1))
    assert (chosen.quantity, chosen.rows[0].value) == ("pH", 7.4)


def test_the_keeper_says_what_is_measured_where_the_head_does_not() -> None:
    found = read("Time;Probe\n2026-06-01 14:00;178.48\n", Wanted(quantity="GH", unit="ppm"))
    assert found.rows[0].value == pytest.approx(10.0, rel=1e-3)
    beyond = read("Time;pH\n2026-06-01 14:00;74\n")
    assert beyond.troubles[0].words == "no tank has a pH of 74"
