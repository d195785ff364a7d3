"""What the calculators of the water bench answer."""

from datetime import date, datetime

import pytest

from app.core.problems import Problem
from app.core.quantities import Units
from app.core.quantities.units import SALT_SPOONS_G
from app.core.water.acclimation import Limits, WaterState
from app.core.water.hardness import Label, Rise
from app.queries.bench import (
    acclimation,
    ammonia,
    brine_shrimp,
    changes,
    gravity,
    hardness,
    nitrate,
    oxygen,
    salt,
)
from app.queries.bench.answers import Answer, fig
from app.queries.bench.hardness import Recipe, Tap
from app.store.actor import Actor

TODAY = date(2026, 6, 15)
METRIC = Units.METRIC


def written(answer: Answer) -> str:
    return " | ".join((answer.words, *answer.more, *answer.working))


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (0, "0"),
        (0.78125, "0.7812"),
        (37.854, "37.85"),
        (172.17, "172.2"),
        (200_000, "200,000"),
        (0.00004, "4e-05"),
    ],
)
def test_working_figures_carry_four_figures(number: float, words: str) -> None:
    assert fig(number) == words


def test_salt_to_a_target_is_litres_times_the_rise() -> None:
    found = salt.to_target(METRIC, 40.0, 0.4, 2.4, None, TODAY)
    assert found.words == "Add 80 g of salt to 40 L."
    assert "(2.4 − 0.4) g/L × 40 L = 80 g" in written(found)
    assert "“weak” strength" in written(found)


def test_a_strength_between_the_usual_ones_is_admitted() -> None:
    assert "none of the usual strengths" in written(salt.to_target(METRIC, 40.0, 0.0, 3.5, None, TODAY))


def test_a_tablespoon_for_two_us_gallons_is_the_weak_strength() -> None:
    # Trade rule: 1 tbsp per 2 US gal is about 2.4 g/L; 18.0 g a tablespoon by USDA NDB 02047
    found = salt.strength(Units.US, 2 * 3.785411784, SALT_SPOONS_G["tbsp"], 0.0)
    assert found.words == "The water then holds 2.4 g/L."
    assert "“weak” strength" in written(found)


@pytest.mark.parametrize(
    ("grams", "words"),
    [
        (18, "1 tbsp"),
        (27, "1 tbsp + 1½ tsp"),
        (6, "1 tsp"),
        (1.5, "¼ tsp"),
        (0.2, "less than a quarter teaspoon"),
        (90, "5 tbsp"),
    ],
)
def test_spoons_are_told_to_the_quarter_teaspoon(grams: float, words: str) -> None:
    assert salt.spoon_words(grams) == words


def test_a_top_up_puts_back_what_the_change_took() -> None:
    found = salt.top_up(METRIC, 100.0, 3.0, 0.25, 0.2, 3.0)
    assert found.words == "Add 70 g of salt, dissolved in the new water."  # 100 L × (3 − 2.3) g/L
    assert "2.3 g/L" in written(found)


def test_a_saltier_source_needs_no_top_up() -> None:
    assert salt.top_up(METRIC, 100.0, 2.0, 0.5, 4.0, 2.0).words.startswith("Add nothing")


def test_the_last_of_several_doses_reaches_the_target() -> None:
    table = salt.to_target(METRIC, 50.0, 0.0, 3.0, 1.0, TODAY).tables[0]
    assert [row[2] for row in table.rows] == ["1 g/L", "2 g/L", "3 g/L"]


def test_a_course_of_months_is_refused() -> None:
    with pytest.raises(Problem, match="allow more a day"):
        salt.to_target(METRIC, 50.0, 0.0, 30.0, 0.1, TODAY)


def test_seven_half_changes_leave_one_part_in_128() -> None:
    found = changes.series(changes.Series(100.0, 0.0, 0.5), 7, None)
    assert found.words == "7 changes of 50 % leave 0.78 % of what was there."
    assert len(found.facts[0].pairs) == 7
    assert "would leave 3.02 %" in written(found)  # exp(−3.5)


def test_changes_needed_are_rounded_up_to_whole_ones() -> None:
    found = changes.series(changes.Series(10.0, 2.0, 0.3), None, 4.0)
    assert found.words == "4 changes of 30 % are needed."  # ln(0.25)/ln(0.7) = 3.89
    assert "⌈3.89⌉ = 4" in written(found)
    assert "One change of 75 % would do it at once." in found.more


def test_no_change_is_needed_when_the_water_is_there() -> None:
    assert changes.series(changes.Series(5.0, 0.0, 0.5), None, 5.0).words.startswith("None")


@pytest.mark.parametrize("times", [0, 366])
def test_a_number_of_changes_out_of_reason_is_refused(times: int) -> None:
    with pytest.raises(Problem):
        changes.series(changes.Series(100.0, 0.0, 0.5), times, None)


def test_a_blend_weights_both_waters_by_volume() -> None:
    found = hardness.mix(METRIC, 40.0, Tap(16.0, 12.0), Tap(0.0, 0.0), gh=10.0, kh=None)
    assert found.words == "Mix 25 L of the first water with 15 L of the second."
    assert "GH 10 °dH and KH 7.5 °dH" in written(found)


def test_the_order_of_two_waters_does_not_matter() -> None:
    found = hardness.mix(METRIC, 40.0, Tap(0.0, 0.0), Tap(16.0, 12.0), gh=None, kh=3.0)
    assert found.words == "Mix 30 L of the first water with 10 L of the second."


def test_two_like_waters_cannot_be_blended_to_another() -> None:
    with pytest.raises(Problem, match="no blend changes that"):
        hardness.mix(METRIC, 40.0, Tap(8.0, None), Tap(8.0, None), gh=9.0, kh=None)


def test_what_is_unknown_is_not_told_of_the_blend() -> None:
    assert "KH" not in written(hardness.mix(METRIC, 40.0, Tap(16.0, None), Tap(0.0, 0.0), gh=8.0, kh=None))


def test_pure_salts_are_weighed_by_their_formulas() -> None:
    recipe = Recipe("CaSO4·2H2O", "MgSO4·7H2O", "NaHCO3")
    found = hardness.remineralise(METRIC, 20.0, Rise(0, 0), Rise(10, 5), recipe)
    # By hand from M = 172.17, 246.47 and 84.007 g/mol; 1 °dH = 0.17832 mmol/L Ca + Mg, 0.35665 meq/L
    assert found.words == "Dissolve 4.6 g of gypsum, 2.2 g of Epsom salt and 3 g of baking soda in 20 L."
    assert [row[3] for row in found.tables[0].rows] == ["GH 7.5 °dH", "GH 2.5 °dH", "KH 5 °dH"]


def test_water_that_is_hard_enough_needs_nothing() -> None:
    recipe = Recipe("CaCl2", "MgCl2·6H2O", "KHCO3")
    assert hardness.remineralise(METRIC, 20.0, Rise(6, 3), Rise(6, 3), recipe).words.startswith("Add nothing")


def test_a_label_is_followed_in_proportion() -> None:
    found = hardness.by_label(METRIC, 20.0, Label(10.0, 40.0, 2.0, 1.0), 6.0)
    assert found.words == "Dissolve 15 g in 20 L."
    assert "KH rises by 3 °dH" in written(found)


def test_ammonia_is_the_extension_sheets_example() -> None:
    # Francis-Floyd & Watson (1996), UF/IFAS FA-16, fig. 3: TAN 1.0, pH 8.0, 24 °C give 0.0502
    found = ammonia.ammonia(METRIC, 1.0, ammonia.Kit.NITROGEN, 8.0, 24.0)
    assert "NH₃-N = 1 × 0.0502 = 0.0502 mg/L" in written(found)
    assert "Harmful" in written(found)


def test_kits_that_count_molecules_are_turned_into_nitrogen() -> None:
    found = ammonia.ammonia(METRIC, 1.2878, ammonia.Kit.NH4, 8.0, 24.0)  # NH4 weighs 18.039 for 14.007 of N
    assert found.words == ammonia.ammonia(METRIC, 1.0, ammonia.Kit.NITROGEN, 8.0, 24.0).words


@pytest.mark.parametrize(
    ("total", "ph", "meaning"),
    [
        (0, 7, "as it should be"),
        (0.25, 6.8, "Below the limit"),
        (0.5, 8.0, "Too much to last"),
        (2, 8.2, "Harmful"),
        (20, 9, "Deadly"),
    ],
)
def test_ammonia_is_given_its_meaning(total: float, ph: float, meaning: str) -> None:
    assert meaning in written(ammonia.ammonia(METRIC, total, ammonia.Kit.NITROGEN, ph, 25.0))


def test_oxygen_falls_with_salt_and_height() -> None:
    # 8.26 mg/L at 25 °C: USGS OWQ Technical Memorandum 2011.03 tables
    assert (
        oxygen.saturation(METRIC, 25.0, 0.0, 0.0, None).words == "Saturated water holds 8.26 mg/L of oxygen."
    )
    high = oxygen.saturation(METRIC, 25.0, 5.0, 1500.0, None)
    assert "thinner air" in written(high)
    assert "salt, S = " in written(high)


def test_more_oxygen_than_water_can_hold_is_refused() -> None:
    with pytest.raises(Problem, match="more than water can hold"):
        oxygen.saturation(METRIC, 25.0, 0.0, 0.0, 50.0)


def test_gravity_there_and_back_is_the_same_water() -> None:
    there = gravity.gravity(METRIC, shown=None, salinity_g_per_l=35.87, temperature_c=25.0, reference_c=25.0)
    assert there.words == "It floats at SG 1.0264."  # 35 g/kg at 25/25 °C, from EOS-80: 1023.343 / 997.047
    back = gravity.gravity(METRIC, shown=1.0264, salinity_g_per_l=None, temperature_c=25.0, reference_c=25.0)
    assert "ppt" in back.words
    assert float(back.words.split(" ")[0]) == pytest.approx(35.87, abs=0.1)  # SG has four decimals


def test_nitrate_from_feed_plans_a_weekly_change() -> None:
    tank = nitrate.Tank(100.0, 5.0, 0.0, 20.0)
    found = nitrate.plan(METRIC, tank, nitrate.Feed(1.0, 0.4), TODAY)
    # 1 g × 0.4 × 0.16 × 0.7 × 4.427 = 198.3 mg a day; 7 × 198.3 / 100 / 20 = 69.4 %, rounded up
    assert found.words == "Change 70 % every week to stay under 20 mg/L."
    assert "198.3 mg a day" in written(found)


def test_two_readings_alone_plan_a_change() -> None:
    tank = nitrate.Tank(100.0, 20.0, 0.0, 40.0, earlier=10.0, days_ago=10)
    found = nitrate.plan(METRIC, tank, None, TODAY)
    assert found.words == "Change 18 % every week to stay under 40 mg/L."  # 7 mg/L a week over 40, up
    assert "10 d = 100 mg a day" in written(found)


def test_new_water_above_the_ceiling_cannot_hold_it() -> None:
    tank = nitrate.Tank(100.0, 30.0, 25.0, 20.0, earlier=20.0, days_ago=10)
    assert "The new water itself holds 25 mg/L" in nitrate.plan(METRIC, tank, None, TODAY).words


def test_nitrate_that_falls_needs_no_change() -> None:
    tank = nitrate.Tank(100.0, 5.0, 0.0, 20.0, earlier=15.0, days_ago=10)
    assert nitrate.plan(METRIC, tank, None, TODAY).words.startswith("Nitrate does not rise")


def test_nitrogen_kits_are_turned_into_nitrate() -> None:
    assert nitrate.as_no3(1.0, nitrate.Kit.NITROGEN) == pytest.approx(4.427, abs=0.001)
    assert nitrate.as_no3(1.0, nitrate.Kit.NO3) == 1.0


def test_acclimation_goes_at_the_pace_of_the_slowest() -> None:
    found = acclimation.steps(
        METRIC, WaterState(6.0, 20.0, 28.0), WaterState(0.0, 14.0, 26.0), Limits(), TODAY
    )
    assert found.words == "4 steps, one a day; into the tank on Thu 18 June."
    assert "Salinity sets the pace: 4 days." in found.more
    rows = found.tables[0].rows
    assert [row[1] for row in rows] == ["25 %", "33.3 %", "50 %", "all: the move"]
    assert [row[2] for row in rows] == ["4.5 g/L", "3 g/L", "1.5 g/L", "0 g/L"]


def test_unknown_salinity_is_cautioned_about() -> None:
    found = acclimation.steps(METRIC, WaterState(None, 20.0), WaterState(0.0, 9.0), Limits(), TODAY)
    assert acclimation.UNKNOWN_SALT in found.cautions
    assert len(found.tables[0].columns) == 3


def test_like_waters_need_no_steps() -> None:
    found = acclimation.steps(METRIC, WaterState(gh_dh=9.0), WaterState(gh_dh=9.0), Limits(), TODAY)
    assert found.words.startswith("No steps")


def test_a_hatch_counts_back_the_slow_strains_hours(keeper: Actor) -> None:
    found = brine_shrimp.hatch(keeper, 100_000, datetime(2026, 6, 18, 8, 0), 28.0, 250_000)  # noqa: DTZ001
    assert found.words == "Start Wed 17 June 08:00 with 0.4 g of cysts."
    assert "In 200 mL of water with 5.1 g of salt" in written(found)
