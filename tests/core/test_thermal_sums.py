"""Classical development laws against hatchery tables and papers."""

import pytest

from app.core.thermal_sums import (
    crisp_days,
    crisp_stages,
    days_at,
    degree_days,
    q10,
    temperature_units_f,
    triangle_degree_days,
)
from tests.reference.published import Case, case, cases


@pytest.mark.parametrize("published", cases(7, "7.RBT") + cases(7, "7.SAL"), ids=lambda c: c.id)
def test_hatchery_temperature_units(published: Case) -> None:
    fahrenheit, days = published.inputs["T_F"], published.inputs["days"]
    found = [temperature_units_f([fahrenheit] * days), degree_days([(fahrenheit - 32) / 1.8] * days)]
    assert found == pytest.approx(published.expected, abs=published.tol)


def test_q10_of_trout_hatching() -> None:
    published = case("7.Q10.1")
    i = published.inputs
    assert q10(i["t1"], i["d1"], i["t2"], i["d2"]) == pytest.approx(published.expected, abs=published.tol)


def test_degree_days_of_trout_hatching_are_not_constant() -> None:
    published = case("7.DD.1")
    assert [degree_days([t] * d) for t, d in published.inputs["pairs"]] == published.expected


@pytest.mark.parametrize("key", ["7.CR.1", "7.CR.3", "7.CR.5"])
def test_crisp_hatching(key: str) -> None:
    published = case(key)
    i = published.inputs
    found = crisp_days(i["T_C"], i["b"], i["alpha"], i["log10a"])
    assert found == pytest.approx(published.expected, abs=published.tol)


def test_crisp_stages() -> None:
    published = case("7.CR.6")
    assert list(crisp_stages(published.inputs["D_hatch"])) == pytest.approx(published.expected)


def test_degree_day_sums() -> None:
    published = case("7.SUM.1")
    temperatures = published.inputs["T"]
    assert [degree_days(temperatures), degree_days(temperatures, 10)] == published.expected


def test_degree_days_above_a_base() -> None:
    published = case("7.SUM.3")
    i = published.inputs
    assert degree_days([i["T"]] * i["days"], i["base"]) == published.expected


def test_time_scales_by_q10() -> None:
    published = case("7.Q10.4")
    i = published.inputs
    found = days_at(i["D1"], i["T1"], i["T2"], i["Q10"])
    assert found == pytest.approx(published.expected, abs=published.tol)


def test_one_day_by_mean_and_by_triangle() -> None:
    published = case("7.DAY.1")
    low, high, base = (published.inputs[key] for key in ("Tmin", "Tmax", "base"))
    found = [degree_days([(low + high) / 2], base), triangle_degree_days(low, high, base)]
    assert found == pytest.approx(published.expected, abs=published.tol)


@pytest.mark.parametrize(("base", "expected"), [(10, 14.0), (35, 0.0)])
def test_a_triangle_wholly_above_or_below_the_base(base: float, expected: float) -> None:
    assert triangle_degree_days(18, 30, base) == expected


def test_every_case_of_the_topic_is_covered() -> None:
    assert {c.id.split(".")[1] for c in cases(7)} == {"RBT", "SAL", "Q10", "DD", "CR", "SUM", "DAY"}
    assert len(cases(7, "7.CR") + cases(7, "7.Q10")) == 6
