"""Typed amounts become SI, and what cannot be meant is refused with the way out."""

import re
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.problems import Problem
from app.core.quantities import (
    Units,
    parse_hardness,
    parse_length,
    parse_mass,
    parse_share,
    parse_temperature,
    parse_volume,
)
from tests.reference.published import case

US, METRIC, IMPERIAL = Units.US, Units.METRIC, Units.IMPERIAL


@pytest.mark.parametrize(
    ("text", "units", "litres"),
    [
        ("38 L", METRIC, 38.0),
        ("38", METRIC, 38.0),
        ("1,5 l", METRIC, 1.5),
        ("500 ml", METRIC, 0.5),
        ("10 gal", US, 37.85411784),
        ("10", US, 37.85411784),
        ("10 gal.", METRIC, 37.85411784),
        ("10 gallons", IMPERIAL, 45.4609),
        ("10", IMPERIAL, 45.4609),
        ("10 imp gal", US, 45.4609),
        ("10 UK gal", US, 45.4609),
        ("10 US gal", IMPERIAL, 37.85411784),
        ("2 qt", US, 1.892705892),
        ("2 qt", IMPERIAL, 2.273045),
        ("½ gal", US, 1.892705892),
    ],
)
def test_volumes_become_litres_with_gallons_told_apart(text: str, units: Units, litres: float) -> None:
    assert parse_volume(text, units) == pytest.approx(litres, rel=1e-12)


def test_volume_units_agree_with_their_published_definitions() -> None:
    assert parse_volume("1 US gal") == pytest.approx(case("1.UNIT.1").expected, abs=1e-9)
    assert parse_volume("1 US fl oz") * 1000 == pytest.approx(case("1.UNIT.5").expected, abs=1e-9)
    assert parse_volume("1 UK fl oz") * 1000 == pytest.approx(case("1.UNIT.7").expected, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("7.5 mm", 7.5),
        ("7,5mm", 7.5),
        ("2.5 cm", 25.0),
        ("0.3 in", 7.62),
        ('3/4"', 19.05),
        ("1 1/2 inches", 38.1),
        ("1½″", 38.1),
        ("1-1/2 in.", 38.1),
        (".5 in", 12.7),
        ("1 ft", 304.8),
    ],
)
def test_lengths_become_millimetres(text: str, mm: float) -> None:
    assert parse_length(text) == pytest.approx(mm, rel=1e-12)


def test_a_bare_length_is_in_the_keepers_unit() -> None:
    assert parse_length("3", METRIC) == 3.0
    assert parse_length("3", US) == pytest.approx(76.2)


@pytest.mark.parametrize("text", ["76 F", "76°F", "76 deg F", "76 ºf", "76 Fahrenheit"])
def test_fahrenheit_becomes_celsius_for_every_keeper(text: str) -> None:
    assert parse_temperature(text, METRIC) == pytest.approx(24.44444444)
    assert parse_temperature(text, US) == pytest.approx(24.44444444)


def test_a_bare_temperature_is_in_the_keepers_scale() -> None:
    assert parse_temperature("24,5", METRIC) == 24.5
    assert parse_temperature("24.5", IMPERIAL) == 24.5
    reference = case("1.UNIT.10")
    assert parse_temperature(str(reference.inputs["F"]), US) == pytest.approx(
        reference.expected, abs=reference.tol
    )


def test_a_temperature_on_the_other_scale_is_asked_about() -> None:
    with pytest.raises(Problem, match=re.escape("76 °C cannot be a tank; °F? Then type 76 F")):
        parse_temperature("76", METRIC)
    with pytest.raises(Problem, match=re.escape("24.5 °F cannot be a tank; °C? Then type 24.5 C")):
        parse_temperature("24.5", US)
    with pytest.raises(Problem, match="give 0 to 45 °C or 32 to 113 °F"):
        parse_temperature("300", METRIC)


@pytest.mark.parametrize(
    ("text", "grams"),
    [("1 tbsp", 18.0), ("2 tsp", 12.0), ("1½ tablespoons", 27.0), ("5 g", 5.0), ("5", 5.0), ("1 kg", 1000.0)],
)
def test_masses_of_salt_become_grams(text: str, grams: float) -> None:
    assert parse_mass(text, of_salt=True) == pytest.approx(grams)


def test_masses_agree_with_their_published_definitions() -> None:
    assert parse_mass("1 oz") == pytest.approx(case("1.UNIT.6").expected, abs=1e-9)
    assert parse_mass("1 tbsp", of_salt=True) == pytest.approx(case("1.TBSP.1").expected, abs=0.05)


def test_larger_spoons_hold_more_salt_by_their_volume() -> None:
    grams_per_ml = parse_mass("1 tbsp", of_salt=True) / 14.78676478125
    for spoon, case_id in (("metric tbsp", "1.UNIT.8"), ("AU tbsp", "1.UNIT.9")):
        grams = parse_mass(f"1 {spoon}", of_salt=True)
        assert grams / grams_per_ml == pytest.approx(case(case_id).expected, abs=1e-9)


def test_a_number_beyond_any_fishroom_is_refused() -> None:
    for text in ("9999999999 L", "9" * 400):
        with pytest.raises(Problem, match="too much for any fishroom"):
            parse_volume(text)


def test_a_spoon_of_anything_but_salt_is_refused() -> None:
    with pytest.raises(Problem, match="weigh it and give grams"):
        parse_mass("1 tbsp")


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("8", 8.0),
        ("8 dH", 8.0),
        ("8 °dH", 8.0),
        ("8 dKH", 8.0),
        ("17.848 ppm", 1.0),
        ("178.48 mg/L", 10.0),
        ("178.48 mg/L CaCO3", 10.0),
        ("1 gpg", 17.1181 / 17.848),
        ("1 mmol/L", 5.6077),
    ],
)
def test_hardness_becomes_german_degrees(text: str, degrees: float) -> None:
    assert parse_hardness(text) == pytest.approx(degrees, rel=2e-4)


def test_a_bare_hardness_that_must_be_ppm_is_asked_about() -> None:
    with pytest.raises(Problem, match=re.escape("140 °dH is too hard for any tank; ppm? Then type 140 ppm")):
        parse_hardness("140")
    with pytest.raises(Problem, match="below zero"):
        parse_hardness("-1")


def test_a_share_is_read_from_a_percentage_or_a_volume() -> None:
    assert parse_share("30 %", 40.0) == pytest.approx(0.3)
    assert parse_share("10 L", 40.0) == pytest.approx(0.25)
    assert parse_share("5 gal", 37.85411784, US) == pytest.approx(0.5)
    for text in ("50", "120 %", "0 %"):
        with pytest.raises(Problem, match=r"give 1 to 100 %|above zero"):
            parse_share(text, 38.0)


@pytest.mark.parametrize(
    "text", ["", "  ", "ten gal", "10 galons", "1.2.3 L", "1/2/3 L", "1/0 L", "0 L", "-3 L"]
)
def test_what_is_no_volume_is_refused_by_field(text: str) -> None:
    with pytest.raises(Problem) as caught:
        parse_volume(text, field="tank_volume")
    assert caught.value.field == "tank_volume"
    assert "give an amount" in caught.value.message or "give one such as" in caught.value.message


def test_a_comma_that_can_be_read_two_ways_is_refused() -> None:
    with pytest.raises(Problem, match=re.escape("'1,200 L' can be read two ways; type 1200 or 1.200")):
        parse_volume("1,200 L")


@given(st.text(max_size=12), st.sampled_from(Units))
def test_any_text_is_either_an_amount_or_a_problem(text: str, units: Units) -> None:
    for parse in (parse_volume, parse_length, parse_temperature, parse_mass, parse_hardness):
        with suppress(Problem):
            assert parse(text, units) >= 0
