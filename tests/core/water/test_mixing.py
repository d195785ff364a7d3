"""Water changes, blends and flow follow their closed forms and lose no mass."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.problems import Problem
from app.core.water.mixing import (
    Part,
    after_change,
    after_changes,
    blended,
    changes_needed,
    cycles_to,
    fraction_needed,
    replaced_by_flow,
    steady_cycle,
    steady_flow,
)
from tests.reference.published import Case, case, cases

LEVELS, SHARES = st.floats(0, 1000), st.floats(0, 1)


@pytest.mark.parametrize("reference", cases(2, "2.SER")[:3], ids=lambda c: c.id)
def test_equal_changes_leave_the_published_share(reference: Case) -> None:
    given_ = reference.inputs
    left = after_changes(100.0, 0.0, [given_["f"]] * given_["n"])[-1]
    assert left == pytest.approx(reference.expected, abs=reference.tol)


def test_unequal_changes_leave_the_published_level_in_any_order() -> None:
    reference = case("2.SER.7")
    given_ = reference.inputs
    for fractions in (given_["f"], given_["f"][::-1]):
        level = after_changes(given_["c0"], given_["c_src"], fractions)[-1]
        assert level == pytest.approx(reference.expected, abs=reference.tol)


def test_the_number_of_changes_is_the_published_one() -> None:
    reference = case("2.N.1")
    given_ = reference.inputs
    needed = changes_needed(given_["c0"], given_["c_src"], given_["f"], given_["target"])
    assert needed == reference.expected


def test_one_change_to_a_target_takes_the_published_share() -> None:
    reference = case("2.N.3")
    given_ = reference.inputs
    share = fraction_needed(given_["c0"], given_["c_src"], given_["target"])
    assert share == pytest.approx(reference.expected, abs=reference.tol)


@pytest.mark.parametrize("reference", cases(2, "2.DRIP")[:3], ids=lambda c: c.id)
def test_through_flow_replaces_the_published_share(reference: Case) -> None:
    share = 100 * replaced_by_flow(reference.inputs["V_over_V0"])
    assert share == pytest.approx(reference.expected, abs=reference.tol)


def test_one_big_change_removes_more_than_the_same_volume_let_through() -> None:
    reference = case("2.DRIP.5")
    volumes = reference.inputs["V_over_V0"]
    removed = [100 - after_change(100, 0, volumes), 100 * replaced_by_flow(volumes)]
    assert removed == pytest.approx(reference.expected, abs=reference.tol)


def test_a_steady_routine_has_the_published_peak_and_trough() -> None:
    reference = case("2.SS.1")
    given_ = reference.inputs
    cycle = steady_cycle(given_["prod_mg_L_day"], given_["T_days"], given_["f"], given_["c_src"])
    assert [cycle.peak, cycle.trough] == pytest.approx(reference.expected, abs=reference.tol)


def test_the_peak_is_nearly_lasting_after_the_published_number_of_cycles() -> None:
    reference = case("2.SS.4")
    assert cycles_to(0.95, reference.inputs["f"]) == reference.expected


def test_steady_through_flow_has_the_published_level() -> None:
    reference = case("2.SS.5")
    given_ = reference.inputs
    level = steady_flow(given_["c_src"], given_["r_mg_L_day"], given_["V0_L"], given_["Q_L_day"])
    assert level == pytest.approx(reference.expected, abs=reference.tol)


def test_replacing_part_of_a_tank_is_a_blend() -> None:
    reference = case("3.MIX.4")
    given_ = reference.inputs
    left = given_["V"] - given_["out"]
    mixed = blended([Part(left, given_["GH"]), Part(given_["out"], given_["src"])])
    assert mixed == pytest.approx(reference.expected, abs=reference.tol)
    changed = after_change(given_["GH"], given_["src"], given_["out"] / given_["V"])
    assert changed == pytest.approx(reference.expected, abs=reference.tol)


@given(LEVELS, LEVELS, st.floats(0.01, 1), st.floats(0.001, 0.999))
def test_the_number_of_changes_reaches_the_target_and_one_less_does_not(
    start: float, source: float, fraction: float, way: float
) -> None:
    target = start + (source - start) * way
    if abs(start - source) < 1e-3:
        return
    needed = changes_needed(start, source, fraction, target)
    levels = (start, *after_changes(start, source, [fraction] * needed))
    distance = [abs(level - source) for level in levels]
    margin = 1e-7 * abs(start - source)
    assert distance[needed] <= abs(target - source) + margin
    assert needed == 0 or distance[needed - 1] > abs(target - source) - margin


@given(st.lists(st.tuples(st.floats(0.1, 500), LEVELS), min_size=1, max_size=6))
def test_a_blend_holds_the_mass_of_its_parts(parts: list[tuple[float, float]]) -> None:
    waters = [Part(*part) for part in parts]
    mass = sum(part.litres * part.value for part in waters)
    assert blended(waters) * sum(part.litres for part in waters) == pytest.approx(mass)


@given(LEVELS, LEVELS, SHARES)
def test_a_change_stays_between_tank_and_source(now: float, source: float, fraction: float) -> None:
    level = after_change(now, source, fraction)
    assert min(now, source) - 1e-9 <= level <= max(now, source) + 1e-9


def test_many_small_changes_approach_the_through_flow() -> None:
    left = after_changes(1.0, 0.0, [0.5 / 10_000] * 10_000)[-1]
    assert 1 - left == pytest.approx(replaced_by_flow(0.5), abs=1e-4)


def test_a_full_change_and_a_target_already_met_are_counted_right() -> None:
    assert changes_needed(40, 5, 1.0, 5) == 1
    assert changes_needed(40, 5, 0.3, 40) == 0
    assert fraction_needed(40, 40, 40) == 0


@pytest.mark.parametrize(
    ("start", "source", "fraction", "target", "field", "words"),
    [
        (60, 25, 0.5, 20, "target", "cannot be reached from 60 with water of 25; give 25 to 60"),
        (60, 20, 0.5, 20, "target", "never quite reached"),
        (60, 0, 0.0, 20, "target", "never quite reached"),
        (1e9, 2.2250738585072014e-308, 0.5, 2.225073858507202e-308, "target", "never quite reached"),
        (60, 0, 1.5, 20, "fraction", r"give 0 to 1; 1\.5 %\? Then give 0\.015"),
        (-1, 0, 0.5, 0, "start", "below zero"),
        (60, 0, 1e-6, 1, "fraction", "give a larger fraction"),
    ],
)
def test_an_unreachable_target_is_refused(
    start: float, source: float, fraction: float, target: float, field: str, words: str
) -> None:
    with pytest.raises(Problem, match=words) as caught:
        changes_needed(start, source, fraction, target)
    assert caught.value.field == field


def test_impossible_waters_are_refused() -> None:
    with pytest.raises(Problem, match="no water to blend"):
        blended([])
    with pytest.raises(Problem, match="litres above 0"):
        steady_flow(0, 1, 100, 0)
    with pytest.raises(Problem, match="no steady state"):
        steady_cycle(1, 7, 0)
    with pytest.raises(Problem, match="above 0 and below 1"):
        cycles_to(1, 0.5)
