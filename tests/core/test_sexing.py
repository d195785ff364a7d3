"""Sexing windows: published anchors, order of dates, and what is said beside them."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.growth import LengthCheck
from app.core.problems import Problem
from app.core.sexing import SexingEvidence, SexingForecast, forecast_sexing
from app.core.species import SPECIES, species
from app.core.thermal import TemperatureLog
from app.core.wording import day_words

BORN = date(2026, 1, 1)


def evidence(
    key: str = "guppy", celsius: float | None = 25.0, checks: tuple[LengthCheck, ...] = (), today: int = 40
) -> SexingEvidence:
    water = None if celsius is None else TemperatureLog.constant(celsius)
    return SexingEvidence(species(key), BORN, BORN + timedelta(days=today), water, checks=checks)


def age(day: date) -> int:
    return (day - BORN).days


def sized(factor: float) -> tuple[LengthCheck, ...]:
    """Guppies of both sexes at so many times their usual length."""
    return tuple(
        LengthCheck.summed(BORN + timedelta(days=n), 12, factor * mm) for n, mm in ((14, 10.9), (35, 15.1))
    )


def test_guppies_at_25_degrees() -> None:
    forecast = forecast_sexing(evidence())
    assert (age(forecast.opens), age(forecast.comfortable), age(forecast.split_by)) == (30, 38, 28)


def test_first_gonopodium_at_20_degrees() -> None:
    """Spurway (1953): first sign of a gonopodium on day 51 at 20 °C."""
    forecast = forecast_sexing(evidence(celsius=20.0))
    assert age(forecast.opens) == pytest.approx(51, abs=6)
    assert age(forecast.first_signs) < 51 < age(forecast.comfortable)


def test_guppies_are_split_before_the_earliest_conception() -> None:
    """Reznick and colleagues' common-garden sets: earliest conception about 36 d of age at 26 °C."""
    assert 25 <= age(forecast_sexing(evidence(celsius=26.0)).split_by) < 36


def test_platy_males_may_be_late() -> None:
    """Kallman & Borkoski (1978): males ripen at 8 to 73 weeks by genotype."""
    notes = forecast_sexing(evidence("southern_platy")).notes
    assert any("late males may still turn up among the females" in note for note in notes)
    assert not any("late males" in note for note in forecast_sexing(evidence()).notes)


def test_a_split_before_the_opening_begins_with_the_first_signs() -> None:
    forecast = forecast_sexing(evidence())
    assert forecast.split_by < forecast.opens
    assert (forecast.window.start, forecast.window.end) == (forecast.first_signs, forecast.split_by)


def test_a_late_split_leaves_a_window_from_the_opening() -> None:
    late = replace(species("guppy"), split_by_days=45.0)
    forecast = forecast_sexing(replace(evidence(), species=late))
    assert (forecast.window.start, forecast.window.end) == (forecast.opens, forecast.split_by)
    assert forecast.window.level == pytest.approx(0.5, abs=0.1)
    assert forecast.notes == ()


@pytest.mark.parametrize("key", SPECIES)
@pytest.mark.parametrize("celsius", [20.0, 25.0, 30.0])
def test_dates_come_in_order_for_every_species(key: str, celsius: float) -> None:
    forecast = forecast_sexing(evidence(key, celsius))
    assert forecast.first_signs < forecast.opens < forecast.comfortable
    assert forecast.opens_80.start <= forecast.opens <= forecast.opens_80.end
    assert forecast.split_by > BORN
    assert forecast.window.start <= forecast.window.end
    assert forecast.told.never < 0.01


@pytest.mark.parametrize("key", SPECIES)
def test_there_are_days_to_look_before_the_split(key: str) -> None:
    forecast = forecast_sexing(evidence(key, today=0))
    assert (forecast.window.end - forecast.window.start).days >= 3
    assert f"from {day_words(forecast.window.start, BORN)} on" in forecast.notes[0]


def test_species_without_a_published_fertility_say_so() -> None:
    assert any(
        "No published age of first fertility" in n for n in forecast_sexing(evidence("halfbeak")).notes
    )


def test_warm_water_is_never_later() -> None:
    opens = [forecast_sexing(evidence(celsius=c)).opens for c in (19.0, 22.0, 25.0, 28.0, 30.0)]
    assert opens == sorted(opens, reverse=True)


def test_half_can_be_told_on_the_day_the_window_opens() -> None:
    opens = forecast_sexing(evidence()).opens
    comfortable = forecast_sexing(evidence()).comfortable
    assert forecast_sexing(evidence(today=age(opens))).fraction_sexable_today == pytest.approx(0.5, abs=0.04)
    on_comfort = forecast_sexing(evidence(today=age(comfortable)))
    assert on_comfort.fraction_sexable_today == pytest.approx(0.9, abs=0.03)


def test_the_share_that_can_be_told_only_grows() -> None:
    shares = [forecast_sexing(evidence(today=n)).fraction_sexable_today for n in range(0, 80, 5)]
    assert shares == sorted(shares)
    assert shares[0] < 0.001
    assert shares[-1] > 0.999


def test_short_fish_are_told_later_but_split_no_later() -> None:
    usual, short = forecast_sexing(evidence(checks=sized(1.0))), forecast_sexing(evidence(checks=sized(0.8)))
    assert short.opens > usual.opens
    assert short.split_by <= forecast_sexing(evidence()).split_by


def test_long_fish_are_told_and_split_sooner() -> None:
    usual, long = forecast_sexing(evidence(checks=sized(1.0))), forecast_sexing(evidence(checks=sized(1.25)))
    assert long.opens < usual.opens
    assert long.split_by < usual.split_by


def test_usual_fish_confirm_the_usual_dates_and_narrow_them() -> None:
    blind, measured = forecast_sexing(evidence()), forecast_sexing(evidence(checks=sized(1.0)))
    assert abs((measured.opens - blind.opens).days) <= 1
    assert measured.opens_80.days <= blind.opens_80.days


def test_no_temperature_means_25_degrees_and_says_so() -> None:
    without = forecast_sexing(evidence(celsius=None))
    assert without.opens == forecast_sexing(evidence()).opens
    assert "No temperature given: 25 °C is assumed." in without.notes


def test_cold_water_makes_the_dates_guesses() -> None:
    assert "Outside 18 to 31 °C these dates are guesses." in forecast_sexing(evidence(celsius=16.0)).notes


def test_a_birth_after_today_is_refused() -> None:
    with pytest.raises(Problem, match="born 2026-01-01 lies after today, 2025-12-31"):
        forecast_sexing(evidence(today=-1))


def test_the_why_names_source_and_what_would_help() -> None:
    blind, measured = forecast_sexing(evidence()).why, forecast_sexing(evidence(checks=sized(1.0))).why
    assert blind.source
    assert blind.narrower == ("length checks of this batch",)
    assert measured.narrower == ()
    assert [used.weight for used in measured.used] == [None, 0.5]


def test_a_guessed_birth_day_widens_the_window_and_splits_sooner() -> None:
    """10 days of doubt at 25 °C: √(4.24² + 10²) = 10.9 days about the opening, against 4.2."""
    sure, unsure = (
        forecast_sexing(evidence()),
        forecast_sexing(replace(evidence(), born_uncertainty_days=10.0)),
    )
    assert unsure.opens == sure.opens
    assert unsure.opens_80.days == pytest.approx(2 * 1.2816 * 10.9, abs=2)
    assert unsure.comfortable > sure.comfortable
    assert unsure.first_signs < sure.first_signs
    assert age(unsure.split_by) == age(sure.split_by) - 10  # 1.645 (√(6² + 10²) - 6) = 9.3
    assert unsure.told.window() != sure.told.window()


def test_lengths_take_half_of_the_doubt_about_birth() -> None:
    blind = replace(evidence(), born_uncertainty_days=10.0)
    measured = replace(evidence(checks=sized(1.0)), born_uncertainty_days=10.0)
    assert forecast_sexing(measured).opens_80.days < 0.8 * forecast_sexing(blind).opens_80.days
    assert (
        forecast_sexing(measured).opens_80.days > forecast_sexing(evidence(checks=sized(1.0))).opens_80.days
    )


def test_a_birth_guessed_badly_never_splits_before_it() -> None:
    given = replace(evidence(), born_uncertainty_days=60.0)
    assert forecast_sexing(given).split_by >= BORN


@settings(max_examples=50, deadline=None)
@given(st.integers(-500, 500), st.sampled_from(sorted(SPECIES)))
def test_moving_every_date_moves_the_answer(by: int, key: str) -> None:
    shift = timedelta(days=by)
    here = evidence(key)
    there = replace(here, born=here.born + shift, today=here.today + shift)
    one, other = forecast_sexing(here), forecast_sexing(there)
    assert _dates(other) == [d + shift for d in _dates(one)]


def _dates(forecast: SexingForecast) -> list[date]:
    return [
        forecast.first_signs,
        forecast.opens,
        forecast.comfortable,
        forecast.split_by,
        forecast.told.first,
    ]
