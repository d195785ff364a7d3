"""Ready to rehome: long enough, old enough, told apart."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from app.core.growth import GrowthEvidence, LengthCheck, Sex, fit_growth
from app.core.problems import Problem
from app.core.readiness import ReadyEvidence, ReadyForecast, forecast_ready, usual_minimum_age
from app.core.sexing import SexingEvidence, forecast_sexing
from app.core.species import SPECIES, species
from app.core.thermal import TemperatureLog

BORN = date(2026, 1, 1)
WATER = TemperatureLog.constant(25)


def evidence(
    key: str = "guppy",
    today: int = 40,
    sex: Sex | None = None,
    factor: float | None = None,
    weeks: tuple[int, ...] = (2, 4),
) -> ReadyEvidence:
    of, now = species(key), BORN + timedelta(days=today)
    checks: tuple[LengthCheck, ...] = ()
    if factor:
        usual = fit_growth(GrowthEvidence(of, BORN, now, sex, WATER)).curve
        checks = tuple(LengthCheck.summed(usual[i].day, 15, factor * usual[i].median_mm) for i in weeks)
    growth = fit_growth(GrowthEvidence(of, BORN, now, sex, WATER, checks))
    sexing = forecast_sexing(SexingEvidence(of, BORN, now, WATER, growth))
    return ReadyEvidence(of, BORN, now, growth, sexing)


def age(forecast: ReadyForecast) -> int:
    assert forecast.median is not None
    return (forecast.median - BORN).days


def test_female_guppies_of_twenty_millimetres_leave_at_eight_to_twelve_weeks() -> None:
    """Trade custom: 20 to 25 mm at 8 to 12 weeks (common practice, biology §14e)."""
    assert 56 <= age(forecast_ready(replace(evidence(sex="female"), sale_length_mm=20.0))) <= 84


@pytest.mark.parametrize("key", ["shortfin_molly", "swordtail"])
def test_mollies_and_swordtails_take_ten_to_fourteen_weeks(key: str) -> None:
    assert 70 <= age(forecast_ready(evidence(key))) <= 98


@pytest.mark.parametrize("key", SPECIES)
def test_every_species_has_a_ready_date_and_a_window_about_it(key: str) -> None:
    forecast = forecast_ready(evidence(key))
    assert forecast.median is not None
    assert forecast.when.quantile(0.1) <= forecast.median  # type: ignore[operator]
    if forecast.window_80:
        assert forecast.window_80.start <= forecast.median <= forecast.window_80.end


def test_a_mixed_batch_of_guppies_waits_for_its_small_males() -> None:
    """Nine in ten of both sexes together: later than females alone, sooner than males alone."""
    females, both, males = (age(forecast_ready(evidence(sex=sex))) for sex in ("female", None, "male"))
    assert females < both < males
    assert 84 <= both <= 112  # 12 to 16 weeks; common practice names 8 to 12 for well-fed fish


def test_a_guessed_birth_day_widens_the_window_and_blurs_the_least_age() -> None:
    given = replace(evidence(sex="female"), sale_length_mm=9.0, sexed=True)
    sure, unsure = forecast_ready(given), forecast_ready(replace(given, born_uncertainty_days=10.0))
    assert sure.window_80 is not None
    assert unsure.window_80 is not None
    assert sure.window_80.days == 1
    assert unsure.window_80.days == pytest.approx(2 * 1.28 * 10, abs=2)
    assert unsure.median is not None
    assert sure.median is not None
    assert abs((unsure.median - sure.median).days) <= 1  # long enough is all but certain, not quite


def test_nine_in_ten_need_longer_than_the_mean() -> None:
    given = evidence(sex="female")
    reached = given.growth.posterior.days_to(given.species.sale_length_mm)
    mean = float(given.growth.posterior.weights @ reached)
    assert age(forecast_ready(given)) > mean


def test_a_longer_sale_length_is_later_and_a_shorter_is_not() -> None:
    given = evidence(sex="female")
    dates = [age(forecast_ready(replace(given, sale_length_mm=mm))) for mm in (18.0, 22.0, 26.0, 30.0)]
    assert dates == sorted(dates)
    assert dates[0] < dates[-1]


def test_the_least_age_holds_them_back_and_says_so() -> None:
    given = replace(evidence(), sale_length_mm=8.0, minimum_age_days=70, sexed=True)
    forecast = forecast_ready(given)
    assert age(forecast) == 70
    assert "Age decides: 70 days old on 12 March." in forecast.notes


def test_telling_them_apart_holds_them_back() -> None:
    given = replace(evidence("southern_platy"), sale_length_mm=9.0, minimum_age_days=0)
    assert age(forecast_ready(given)) > age(forecast_ready(replace(given, sexed=True))) + 30


def test_slow_batches_are_ready_later() -> None:
    slow, usual = (age(forecast_ready(evidence(factor=f, sex="female"))) for f in (0.85, 1.0))
    assert slow > usual + 5


def test_a_length_out_of_reach_is_never_ready() -> None:
    forecast = forecast_ready(replace(evidence(sex="male"), sale_length_mm=40.0))
    assert (forecast.median, forecast.window_80, forecast.fraction_ready_today) == (None, None, 0.0)
    assert "will most likely never reach 40 mm" in forecast.notes[0]


def test_the_share_ready_today_grows_from_none_to_nearly_all() -> None:
    shares = [forecast_ready(evidence(today=n, sex="female")).fraction_ready_today for n in (30, 60, 90, 200)]
    assert shares[0] == 0.0
    assert shares == sorted(shares)
    assert shares[-1] > 0.97


def test_about_nine_in_ten_of_a_measured_batch_are_ready_on_the_ready_date() -> None:
    given = evidence(sex="female", today=200, factor=1.0, weeks=(2, 4, 7, 10, 13, 16))
    on_the_day = replace(given, today=BORN + timedelta(days=age(forecast_ready(given))))
    ready = replace(on_the_day, sexed=True)
    assert forecast_ready(ready).fraction_ready_today == pytest.approx(0.88, abs=0.06)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"sale_length_mm": -5.0}, "-5 mm can't be; 20 mm is usual"),
        ({"sale_length_mm": float("nan")}, "can't be; 20 mm is usual"),
        ({"minimum_age_days": -1}, "-1 days can't be; 56 days is usual"),
    ],
)
def test_impossible_settings_are_refused(changes: dict[str, float], says: str) -> None:
    with pytest.raises(Problem, match=says):
        forecast_ready(replace(evidence(), **changes))  # type: ignore[arg-type]


def test_small_fish_may_leave_at_eight_weeks_and_large_at_ten() -> None:
    assert (usual_minimum_age(22.0), usual_minimum_age(35.0)) == (56, 70)


def test_the_why_lists_the_three_conditions() -> None:
    used = [u.what for u in forecast_ready(evidence()).why.used]
    assert used[:3] == ["sale length", "least age", "told apart"]
