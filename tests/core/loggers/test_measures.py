"""Units of what loggers measure, against published factors."""

import pytest

from app.core.loggers.measures import MEASURES
from app.core.problems import Problem
from app.store.readings import Quantity


def kept(key: str, value: float, unit: str | None = None) -> float:
    return MEASURES[key].unit(unit, "unit").kept(value)


def test_whatever_is_kept_may_be_sent() -> None:
    assert list(MEASURES) == [quantity.value for quantity in Quantity]


@pytest.mark.parametrize(
    ("key", "value", "unit", "expected"),
    [
        ("temperature", 77, "F", 25.0),
        ("temperature", 24.5, None, 24.5),
        ("GH", 17.848, "ppm", 1.0),  # 1 °dH is 17.848 mg/L as CaCO3 (DIN 38409-6)
        ("nitrate", 10, "mg/L N", 44.27),  # 10 mg/L NO3-N is 44.3 mg/L NO3 (US EPA, 40 CFR 141.62)
        ("nitrite", 1, "mg/L N", 3.284),  # 1 mg/L NO2-N is 3.28 mg/L NO2 (WHO, nitrate and nitrite, 2011)
        ("total ammonia", 1.2159, "mg/L NH3", 1.0),  # 17.031/14.007, molar masses
        ("salinity", 2500, "mg/L", 2.5),
    ],
)
def test_other_units_become_the_kept_one(key: str, value: float, unit: str | None, expected: float) -> None:
    assert kept(key, value, unit) == pytest.approx(expected, rel=1e-3)


def test_a_unit_of_something_else_is_refused_with_those_that_are_known() -> None:
    with pytest.raises(Problem, match="give one of C, F") as problem:
        MEASURES["temperature"].unit("g/L", "items[0].unit")
    assert problem.value.field == "items[0].unit"


@pytest.mark.parametrize("unit", [unit for one in MEASURES.values() for unit in one.units[1:]])
def test_the_range_of_a_unit_is_the_range_of_the_kept_one(unit: object) -> None:
    measured = next(one for one in MEASURES.values() if unit in one.units)
    other = next(found for found in measured.units if found is unit)
    assert other.kept(other.lowest) == pytest.approx(measured.usual.lowest, abs=1e-9)
    assert other.kept(other.highest) == pytest.approx(measured.usual.highest)
