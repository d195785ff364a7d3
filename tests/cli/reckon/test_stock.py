"""Species and temperature read what the contract says."""

from datetime import date

import pytest

from app.cli.reckon.stock import species_field, temperature_field
from app.core.problems import Problem
from app.core.thermal import TemperatureLog


def test_a_species_is_known_by_its_key() -> None:
    assert species_field().read("guppy").scientific_name == "Poecilia reticulata"
    with pytest.raises(Problem, match='"goldfish" is not known; give one of: guppy'):
        species_field().read("goldfish")


def test_a_temperature_is_a_number_or_readings_in_any_order() -> None:
    assert temperature_field().read(24) == TemperatureLog.constant(24)
    read = temperature_field().read([{"date": "2026-02-03", "c": 26}, {"date": "2026-02-01", "c": 24}])
    assert read.readings == ((date(2026, 2, 1), 24.0), (date(2026, 2, 3), 26.0))


def test_the_log_of_one_tank_is_read_once_for_all_its_fish() -> None:
    field, day = temperature_field(), "2026-02-01"
    first, again, other = (field.read([{"date": day, "c": c}]) for c in (24, 24.0, 25))
    assert again is first
    assert other.readings == ((date(2026, 2, 1), 25.0),)
    field.read([{"date": day, "c": 1}])
    with pytest.raises(Problem, match="true is not a number"):
        field.read([{"date": day, "c": True}])


@pytest.mark.parametrize(
    ("given", "says"),
    [
        (77, r"77 \(°F\?\) cannot be"),
        ([], "0 entries; give at least 1"),
        (
            [{"date": "2026-02-01", "c": 24}, {"date": "2026-02-01", "c": 25}],
            "two temperatures on 2026-02-01",
        ),
        ("warm", "does not fit"),
    ],
)
def test_impossible_temperatures_are_refused(given: object, says: str) -> None:
    with pytest.raises(Problem, match=says):
        temperature_field().read(given)
