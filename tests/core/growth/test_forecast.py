"""Growth forecasts: published cohorts, bands that behave, and honest words."""

import itertools
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.growth import GrowthEvidence, GrowthForecast, LengthCheck, Model, fit_growth
from app.core.species import SPECIES, species
from app.core.thermal import TemperatureLog
from tests.core.growth.series import GUPPY, LIMIA_FEMALES, SERIES, SWORDTAIL, Series

BORN = date(2026, 1, 1)


def day(n: float) -> date:
    return BORN + timedelta(days=int(n))


def check(n: int, mm: float, fish: int = 10, sd: float | None = None) -> LengthCheck:
    return LengthCheck.summed(day(n), fish, mm, sd)


def guppies(
    *checks: LengthCheck, today: int = 90, targets: tuple[float, ...] = (22.0, 28.0)
) -> GrowthEvidence:
    return GrowthEvidence(
        species("guppy"),
        BORN,
        day(today),
        sex="female",
        temperature=TemperatureLog.constant(25),
        checks=checks,
        targets_mm=targets,
    )


ON_TRACK = (check(14, 11.0), check(42, 17.0), check(70, 21.9))
"""Checks that lie on the guppy's own curve of the compilation (§15)."""


def cohort(series: Series, until: int) -> GrowthForecast:
    return fit_growth(
        GrowthEvidence(
            species(series.species),
            BORN,
            day(until),
            sex=series.sex,
            temperature=TemperatureLog.constant(series.temperature_c),
            checks=[check(age, mm) for age, mm in series.lengths if age <= until],
            targets_mm=[mm for age, mm in series.lengths if age > until],
        )
    )


def test_the_guppys_usual_curve() -> None:
    """Total lengths of the compilation at 0, 14, 28, 42, 56, 84, 112, 140 and 210 d at 25 °C (§15)."""
    curve = {point.day: point for point in fit_growth(guppies(today=120)).curve}
    usual = {0: 7.5, 14: 11.0, 28: 14.2, 42: 17.0, 56: 19.6, 84: 24.1, 112: 27.7, 140: 30.7, 210: 36.0}
    for age, mm in usual.items():
        assert curve[day(age)].median_mm == pytest.approx(mm, rel=0.02)


def test_length_varies_by_ten_to_twenty_percent_between_broods() -> None:
    """Science §3: brood-level CV 10 to 20 %, for every species at half a year."""
    for key in SPECIES:
        forecast = fit_growth(GrowthEvidence(species(key), BORN, day(120)))
        point = forecast.curve[26]
        assert 0.10 < np.log(point.p90_mm / point.p10_mm) / 2.563 < 0.20


@pytest.mark.parametrize("series", SERIES, ids=lambda s: s.source)
def test_published_cohorts_are_no_strangers(series: Series) -> None:
    forecast = cohort(series, int(series.ages[-1]))
    assert forecast.percentile is not None
    assert 2 < forecast.percentile < 98


@pytest.mark.parametrize("series", SERIES, ids=lambda s: s.source)
def test_the_fitted_curve_runs_through_published_lengths(series: Series) -> None:
    forecast = cohort(series, int(series.ages[-1]))
    fitted = forecast.posterior.quantiles(series.ages, (0.5,))[0]
    assert np.median(np.abs(np.log(fitted / series.mm))) < 0.06
    assert np.max(np.abs(np.log(fitted / series.mm))) < 0.25


def test_ursins_guppies_are_foreseen_from_their_first_two_months() -> None:
    """Ursin (1967): to eight months the published lengths are reached about when the forecast says.

    Later ones lie near the final length, where a millimetre is months: those fall inside the window.
    """
    forecast = cohort(GUPPY, 62)
    reached = dict(zip(GUPPY.mm[GUPPY.ages > 62], GUPPY.ages[GUPPY.ages > 62], strict=True))
    for target in forecast.targets:
        truth = reached[target.length_mm]
        assert target.median is not None
        if truth < 245:
            assert (target.median - BORN).days == pytest.approx(truth, rel=0.25)
        elif target.window:
            assert target.window.start <= day(int(truth)) <= target.window.end
        else:  # it may never be reached, so the window has no end
            assert float(forecast.posterior.dates_to(target.length_mm, (0.1,))[0]) <= truth


@pytest.mark.parametrize("series", [SWORDTAIL, LIMIA_FEMALES], ids=lambda s: s.source)
def test_sigmoid_cohorts_ask_for_gompertz(series: Series) -> None:
    forecast = cohort(series, int(series.ages[-1]))
    assert forecast.model is Model.GOMPERTZ
    assert any("Gompertz" in note for note in forecast.notes)


def test_guppies_keep_von_bertalanffy() -> None:
    assert cohort(GUPPY, 405).model is Model.VON_BERTALANFFY


def test_four_checks_may_not_choose_the_curve() -> None:
    few = replace(SWORDTAIL, lengths=SWORDTAIL.lengths[2:6])
    assert cohort(few, 120).model is Model.VON_BERTALANFFY


def test_two_checks_cannot_carry_a_curve() -> None:
    forecast = fit_growth(guppies(check(14, 11.0), check(28, 14.0)))
    assert (
        "Two checks can't carry a curve: this is the usual guppy's curve, moved towards them."
        in forecast.notes
    )


def test_without_checks_it_is_the_usual_curve_and_stands_nowhere() -> None:
    forecast = fit_growth(guppies())
    assert (forecast.standing, forecast.percentile) == (None, None)
    assert "No length checks yet: this is the usual guppy's curve." in forecast.notes


def test_three_checks_need_no_excuse() -> None:
    assert fit_growth(guppies(*ON_TRACK)).notes == ()


def test_short_fish_are_behind_and_may_catch_up() -> None:
    forecast = fit_growth(
        guppies(*(check(c.day.toordinal() - BORN.toordinal(), 0.75 * c.mean_mm) for c in ON_TRACK))
    )
    assert forecast.standing == "behind"
    assert any("largely reversible" in note for note in forecast.notes)


def test_usual_fish_are_on_and_long_fish_ahead() -> None:
    assert fit_growth(guppies(*ON_TRACK)).standing == "on"
    longer = (check(c.day.toordinal() - BORN.toordinal(), 1.25 * c.mean_mm) for c in ON_TRACK)
    forecast = fit_growth(guppies(*longer))
    assert forecast.standing == "ahead"
    assert forecast.percentile is not None
    assert forecast.percentile > 85


def test_a_shrinking_batch_is_questioned() -> None:
    forecast = fit_growth(guppies(check(30, 15.0), check(60, 20.0), check(75, 17.0)))
    assert any("Fish don't shrink" in note for note in forecast.notes)


def test_a_check_far_off_the_curve_is_questioned() -> None:
    forecast = fit_growth(guppies(*ON_TRACK, check(80, 40.0)))
    assert any("lies far from the fitted curve" in note for note in forecast.notes)


def test_a_length_that_is_never_reached_has_no_date() -> None:
    (target,) = fit_growth(guppies(*ON_TRACK, targets=(80.0,))).targets
    assert (target.median, target.window) == (None, None)
    assert "The batch may never average 80 mm." in fit_growth(guppies(targets=(80.0,))).notes


def test_warm_water_is_never_slower() -> None:
    dates = []
    for celsius in (19, 21, 23, 25, 27, 29):
        evidence = replace(guppies(), temperature=TemperatureLog.constant(celsius))
        dates.append([t.median for t in fit_growth(evidence).targets])
    for cooler, warmer in itertools.pairwise(dates):
        for late, early in zip(cooler, warmer, strict=True):
            assert late is not None
            assert early is not None
            assert early <= late


def test_water_out_of_the_published_range_is_said() -> None:
    evidence = replace(guppies(), temperature=TemperatureLog.constant(16))
    assert any("At 16 °C growth is guessed" in note for note in fit_growth(evidence).notes)


def test_no_temperature_means_25_degrees_and_says_so() -> None:
    without = fit_growth(replace(guppies(*ON_TRACK), temperature=None))
    assert without.curve == fit_growth(guppies(*ON_TRACK)).curve
    assert "No temperature given: 25 °C is assumed." in without.notes


def test_an_unsexed_batch_lies_between_its_sexes() -> None:
    both, female, male = (
        fit_growth(replace(guppies(), sex=sex)).curve[20].median_mm for sex in (None, "female", "male")
    )
    assert male < both < female
    assert both == pytest.approx((male + female) / 2, rel=0.02)


def test_the_spread_of_the_samples_moves_the_fish_to_fish_spread() -> None:
    wide = fit_growth(guppies(check(42, 17.0, 20, 3.4), check(56, 19.0, 20, 3.8)))
    narrow = fit_growth(guppies(check(42, 17.0, 20, 0.7), check(56, 19.0, 20, 0.8)))
    assert narrow.fish_cv < 0.06
    assert wide.fish_cv > 0.15


def test_an_uncertain_birth_widens_the_first_weeks() -> None:
    sure, unsure = (fit_growth(replace(guppies(), born_uncertainty_days=sd)).curve[2] for sd in (0.0, 7.0))
    assert unsure.p90_mm - unsure.p10_mm > 1.3 * (sure.p90_mm - sure.p10_mm)


def test_earlier_broods_of_the_line_move_and_narrow_the_start() -> None:
    slow = [check(n, 0.8 * mm) for n, mm in ((14, 11.0), (42, 17.0), (70, 21.9), (112, 27.7))]
    kin = fit_growth(guppies(*slow, today=120)).posterior
    alone, with_kin = fit_growth(guppies()), fit_growth(replace(guppies(), kin=(kin, kin, kin)))
    mine, theirs = alone.curve[15], with_kin.curve[15]
    assert theirs.median_mm < 0.92 * mine.median_mm
    assert np.log(theirs.p90_mm / theirs.p10_mm) < 0.98 * np.log(mine.p90_mm / mine.p10_mm)


def test_standing_is_against_the_lines_own_earlier_broods() -> None:
    slow = [check(n, 0.8 * mm) for n, mm in ((14, 11.0), (42, 17.0), (70, 21.9))]
    kin = fit_growth(guppies(*slow)).posterior
    assert fit_growth(guppies(*slow)).standing == "behind"
    assert fit_growth(replace(guppies(*slow), kin=(kin,) * 4)).standing == "on"


def test_the_same_evidence_gives_the_same_forecast() -> None:
    assert fit_growth(guppies(*ON_TRACK)) == fit_growth(guppies(*ON_TRACK))


def test_the_why_weighs_each_check() -> None:
    why = fit_growth(guppies(*ON_TRACK)).why
    weights = [used.weight for used in why.used]
    assert len(weights) == 3
    assert all(w is not None and 0 < w < 1 for w in weights)
    assert sum(w for w in weights if w) < 1
    assert why.method == "growth"
    assert why.source


@pytest.mark.parametrize("key", SPECIES)
@pytest.mark.parametrize("sex", [None, "female", "male"])
def test_every_species_and_sex_has_a_curve(key: str, sex: str | None) -> None:
    of = species(key)
    evidence = GrowthEvidence(of, BORN, day(60), sex=sex, targets_mm=(of.sale_length_mm,))  # type: ignore[arg-type]
    curve = fit_growth(evidence).curve
    assert curve[0].median_mm == pytest.approx(of.birth_tl_mm, rel=0.02)
    medians = [point.median_mm for point in curve]
    assert medians == sorted(medians)
    assert {(b.day - a.day).days for a, b in itertools.pairwise(curve)} == {7}


LENGTHS = st.lists(st.tuples(st.integers(0, 120), st.floats(0.8, 1.2), st.integers(1, 20)), max_size=6)


@settings(max_examples=60, deadline=None)
@given(LENGTHS, st.integers(-400, 400))
def test_moving_every_date_moves_the_answer(drawn: list[tuple[int, float, int]], by: int) -> None:
    checks = [check(age, factor * (7.5 + 0.2 * age), fish) for age, factor, fish in drawn]
    here = fit_growth(guppies(*checks, today=130))
    moved = guppies(*(replace(c, day=c.day + timedelta(by)) for c in checks))
    there = fit_growth(replace(moved, born=day(by), today=day(130 + by)))
    assert [p.median_mm for p in there.curve] == pytest.approx([p.median_mm for p in here.curve])
    assert there.standing == here.standing
    for one, other in zip(here.targets, there.targets, strict=True):
        assert (one.median and one.median + timedelta(by)) == other.median


@settings(max_examples=60, deadline=None)
@given(LENGTHS)
def test_bands_hold_their_median_and_windows_their_date(drawn: list[tuple[int, float, int]]) -> None:
    checks = [check(age, factor * (7.5 + 0.2 * age), fish) for age, factor, fish in drawn]
    forecast = fit_growth(guppies(*checks, today=130, targets=(15.0, 20.0, 25.0)))
    for point in forecast.curve:
        assert point.p10_mm <= point.median_mm <= point.p90_mm
    medians = [p.median_mm for p in forecast.curve]
    assert medians == sorted(medians)
    for target in forecast.targets:
        if target.window and target.median:
            assert target.window.start <= target.median <= target.window.end
    dated = [t.median for t in forecast.targets if t.median]
    assert dated == sorted(dated)


def test_more_fish_never_widen_the_band() -> None:
    widths = []
    for fish in (1, 3, 10, 30, 100):
        point = fit_growth(guppies(check(42, 17.0, fish), check(70, 21.9, fish))).curve[12]
        widths.append(point.p90_mm - point.p10_mm)
    assert widths == sorted(widths, reverse=True)


def test_earlier_batches_are_one_line_of_what_a_curve_rests_on() -> None:
    kin = fit_growth(guppies(check(14, 9.0), check(42, 14.0), check(70, 18.0))).posterior
    for number, said in ((1, "1 earlier batch of the line"), (3, "3 earlier batches of the line")):
        used = fit_growth(replace(guppies(), kin=(kin,) * number)).why.used
        assert [one.what for one in used if "earlier" in one.what] == [said]
    assert not any("earlier" in one.what for one in fit_growth(guppies()).why.used)
