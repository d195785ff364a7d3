"""Every gram of salt is followed, and the dose that restores a strength is exact."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.problems import Problem
from app.core.quantities import parse_mass, parse_volume
from app.core.water.salt import (
    BANDS,
    Change,
    Dose,
    Event,
    TopUp,
    dose_to,
    ledger,
    salinity_g_per_kg,
    salt_for_salinity,
    salt_per_kg_water,
    spoons,
)
from tests.reference.published import case

EVENTS = st.lists(
    st.one_of(
        st.builds(Dose, st.floats(0, 200)),
        st.builds(Change, st.floats(0, 1), st.floats(0, 5)),
        st.builds(TopUp, st.floats(0, 10)),
    ),
    max_size=30,
)


@given(st.floats(20, 500), EVENTS)
def test_no_gram_is_lost_over_any_sequence_of_events(litres: float, events: list[Event]) -> None:
    grams = 0.0
    for event, level in zip(events, ledger(litres, events), strict=True):
        if isinstance(event, Dose):
            grams += event.grams
        if isinstance(event, Change):
            removed = grams / litres * (event.fraction * litres)
            grams += event.fraction * litres * event.source_g_per_l - removed
        assert level * litres == pytest.approx(grams, abs=1e-6)


@given(st.floats(20, 500), EVENTS, st.floats(0, 300))
def test_the_dose_to_a_target_reaches_it(litres: float, events: list[Event], target: float) -> None:
    now = ledger(litres, [Dose(1.0), *events])[-1]
    dose = dose_to(target, now, litres)
    assert dose >= 0
    assert now + dose / litres == pytest.approx(max(now, target))


def test_a_change_takes_its_share_and_a_top_up_takes_nothing() -> None:
    levels = ledger(40.0, [Dose(96.0), Change(0.25), TopUp(5.0), Dose(24.0)])
    assert levels == pytest.approx((2.4, 1.8, 1.8, 2.4))


def test_salinity_by_mass_is_the_published_one() -> None:
    reference = case("1.MASS.1")
    salinity = salinity_g_per_kg(reference.inputs["salt_g"], reference.inputs["water_kg"])
    assert salinity == pytest.approx(reference.expected, abs=reference.tol)


def test_salt_for_a_salinity_is_the_published_mass_and_more_than_the_naive_one() -> None:
    reference = case("1.MASS.3")
    given_ = reference.inputs
    grams = salt_for_salinity(given_["V_L"], given_["S_target_g_kg"])
    assert grams == pytest.approx(reference.expected, abs=reference.tol)
    assert grams > given_["V_L"] * given_["S_target_g_kg"]


def test_hatching_water_takes_the_published_salt() -> None:
    reference = case("14.ART.2")
    assert salt_per_kg_water(reference.inputs["S"]) == pytest.approx(reference.expected[0], abs=reference.tol)


def test_a_spoon_in_a_tank_gives_the_published_strength() -> None:
    reference = case("1.MASS.5")
    grams = parse_mass("1 tbsp", of_salt=True)
    litres = parse_volume(f"{reference.inputs['V_usgal']} US gal")
    assert ledger(litres, [Dose(grams)])[0] == pytest.approx(reference.expected, abs=reference.tol)
    assert spoons(grams) == 1.0


def test_a_spoon_holds_the_sodium_the_same_table_gives() -> None:
    reference = case("1.TBSP.2")
    sodium_mg_per_g = 387.58  # USDA SR, 38,758 mg in 100 g
    assert parse_mass("1 tbsp", of_salt=True) * sodium_mg_per_g == pytest.approx(
        reference.expected, abs=reference.tol
    )


def test_the_trade_bands_hold_the_spoons_they_name() -> None:
    gallon = parse_volume("1 US gal")
    weak, strong = (next(band for band in BANDS if band.name == name) for name in ("weak", "strong"))
    assert weak.low_g_per_l < parse_mass("1 tbsp", of_salt=True) / (2 * gallon) < weak.high_g_per_l
    assert strong.low_g_per_l < parse_mass("1 tbsp", of_salt=True) / gallon < strong.high_g_per_l


def test_salinity_and_salt_per_kilogram_undo_each_other() -> None:
    assert salinity_g_per_kg(salt_per_kg_water(25.0), 1.0) == pytest.approx(25.0)


@pytest.mark.parametrize(
    ("litres", "event", "field"),
    [
        (0, Dose(1), "litres"),
        (40, Dose(-1), "grams"),
        (40, Dose(40_000), "grams"),
        (40, Change(1.2), "fraction"),
        (40, Change(0.5, -1), "source"),
        (40, TopUp(41), "litres"),
    ],
)
def test_impossible_events_are_refused_by_field(litres: float, event: Event, field: str) -> None:
    with pytest.raises(Problem) as caught:
        ledger(litres, [event])
    assert caught.value.field == field


def test_impossible_targets_are_refused() -> None:
    with pytest.raises(Problem, match="give 0 to 317"):
        dose_to(-1, 0, 40)
    with pytest.raises(Problem, match="give 0 to 300"):
        salt_per_kg_water(400)
    with pytest.raises(Problem, match="more than 0 kg of water"):
        salinity_g_per_kg(1, 0)
