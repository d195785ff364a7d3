"""The whole forecast, case by case, and the properties that every forecast has."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.births import Arrived, BirthForecast, Exposed, LastDrop, OwnInterval, Start, forecast_birth
from app.core.species import SPECIES, Reproduction
from tests.core.births.build import MAY, day, dropped, intervals, logged

DATED = [key for key, sp in SPECIES.items() if sp.reproduction is Reproduction.STORES_SPERM]
STARTS = st.sampled_from(
    [
        LastDrop(MAY, MAY),
        LastDrop(day(-4), MAY),
        Exposed(MAY),
        Arrived(MAY, None),
        Arrived(MAY, with_males=True),
    ]
)


def median(f: BirthForecast) -> int:
    assert f.median is not None
    return (f.median - MAY).days


@pytest.mark.parametrize("key", DATED)
def test_every_species_with_stored_sperm_drops_an_interval_after_the_last(key: str) -> None:
    f = forecast_birth(dropped(key=key))
    assert median(f) == pytest.approx(SPECIES[key].interval_days, abs=1)
    assert f.p_carrying == pytest.approx(0.95)
    assert len(f.later_drops) == 3


@pytest.mark.parametrize("key", SPECIES)
def test_every_species_is_forecast_from_a_virgins_exposure(key: str) -> None:
    f = forecast_birth(dropped(key=key, start=Exposed(MAY), virgin=True))
    if SPECIES[key].reproduction is Reproduction.OVERLAPPING:
        assert f.fry_per_week is not None
    else:
        assert median(f) == pytest.approx(SPECIES[key].first_brood_days, abs=1)


def test_a_first_guppy_window_is_as_wide_as_the_sources_say() -> None:
    # root of 2.0² + 2.1² + within² (0.92 · 2.0)²: SD 3.4, so 80 % is about ± 4.4 days
    window = forecast_birth(dropped()).window_80
    assert window is not None
    assert [(d - MAY).days for d in (window.start, window.end)] == [22, 31]


def test_an_exposed_dam_is_not_forecast_by_adding_a_gestation() -> None:
    assert median(forecast_birth(dropped(start=Exposed(MAY), virgin=True))) == 38


def test_a_bought_dam_is_anywhere_in_an_interval() -> None:
    f = forecast_birth(dropped(start=Arrived(MAY)))
    assert median(f) == pytest.approx(13, abs=1)
    assert f.window_80 is not None
    assert f.window_80.days > 18
    assert f.p_carrying == pytest.approx(0.6)


def test_a_goodeid_without_a_male_since_her_drop_has_no_next() -> None:
    f = forecast_birth(dropped(key="redtail_goodeid", males_until=day(-2)))
    assert f.p_carrying == 0
    assert (f.median, f.window_80, f.cdf, f.later_drops, f.brood_size) == (None, None, (), (), None)
    assert "stores no sperm" in f.notes[0]


def test_a_goodeid_that_dropped_beside_a_male_drops_again() -> None:
    f = forecast_birth(dropped(key="redtail_goodeid"))
    assert median(f) == pytest.approx(55, abs=1)
    assert len(f.later_drops) == 3


def test_a_goodeids_clock_starts_at_exposure() -> None:
    f = forecast_birth(dropped(today=10, key="redtail_goodeid", start=Exposed(day(10))))
    assert median(f) == pytest.approx(65, abs=1)


def test_a_goodeid_70_days_without_a_male_is_past_hope() -> None:
    # biology: a birth more than 65 to 70 days after the last male contradicts it
    told = dropped(today=80, key="redtail_goodeid", start=Exposed(day(-10), MAY))
    assert forecast_birth(told).p_carrying < 0.5


def test_nothing_for_long_lowers_the_chance_and_asks() -> None:
    chances = [forecast_birth(dropped(today=d)).p_carrying for d in range(0, 60, 5)]
    assert all(b <= a for a, b in pairwise(chances))
    f = forecast_birth(dropped(today=40))
    assert f.overdue
    assert "Is she not carrying, was the drop missed or eaten, or will you wait?" in f.notes[0]


def test_on_time_nothing_is_asked() -> None:
    f = forecast_birth(dropped(today=24))
    assert not f.overdue
    assert f.notes == ()


def test_the_chance_of_carrying_is_bayes_rule() -> None:
    f = forecast_birth(dropped(today=33))
    free = dict(forecast_birth(dropped()).cdf)
    survived = 1 - free[day(32)]
    assert f.p_carrying == pytest.approx(0.95 * survived / (0.95 * survived + 0.05))


def test_a_wait_of_a_year_gives_no_date() -> None:
    f = forecast_birth(dropped(today=365))
    assert f.overdue
    assert f.p_carrying == 0
    assert f.median is None
    assert "not carrying, or drops were missed" in f.notes[0]


@pytest.mark.parametrize(("celsius", "bound"), [(17, "below 18 °C"), (32, "above 31 °C")])
def test_outside_the_breeding_range_no_date_is_given(celsius: float, bound: str) -> None:
    f = forecast_birth(dropped(at=celsius))
    assert f.median is None
    assert bound in " ".join(f.notes)
    assert "may stop" in " ".join(f.notes)
    assert f.confidence == "low"


@pytest.mark.parametrize("celsius", [19, 30.5])
def test_extrapolated_temperatures_are_flagged(celsius: float) -> None:
    f = forecast_birth(dropped(at=celsius))
    assert f.median is not None
    assert f.confidence == "low"
    assert "extrapolated" in " ".join(f.notes)


def test_a_changed_temperature_moves_the_window() -> None:
    warm = forecast_birth(dropped(today=10, temperature=logged([25] * 5 + [29] * 6, set_point=29)))
    assert median(warm) < median(forecast_birth(dropped(today=10)))


def test_a_guppys_own_habit_at_26_degrees_is_found_at_24() -> None:
    f = forecast_birth(dropped(at=24, history=intervals(*[30] * 8, at=26)))
    # 30 d at 26 °C are 32.4 at 24 °C; the drift adds 0.3
    assert median(f) == pytest.approx(32, abs=1)


def test_a_drop_between_dates_widens_the_window() -> None:
    sure = forecast_birth(dropped(today=6, start=LastDrop(day(3), day(3))))
    vague = forecast_birth(dropped(today=6, start=LastDrop(MAY, day(6))))
    assert sure.window_80 is not None
    assert vague.window_80 is not None
    assert median(vague) == median(sure)
    assert vague.window_80.days > sure.window_80.days


def test_a_missed_drop_is_mentioned() -> None:
    f = forecast_birth(dropped(history=intervals(26, 53, 27)))
    assert "1 of her intervals took more than one cycle" in " ".join(f.notes)


@given(STARTS, st.integers(0, 60), st.floats(18, 31), st.sampled_from(DATED))
def test_the_cdf_rises_from_today_to_near_one(start: Start, today: int, celsius: float, key: str) -> None:
    f = forecast_birth(dropped(today=today, key=key, at=celsius, start=start))
    if f.cdf:
        days, p = zip(*f.cdf, strict=True)
        assert days[0] == day(today)
        assert all((b - a).days == 1 for a, b in pairwise(days))
        assert all(0 <= a <= b + 1e-12 <= 1 + 1e-9 for a, b in pairwise(p))
        assert p[-1] > 0.99


@given(STARTS, st.integers(0, 45), st.floats(18, 31), st.lists(st.floats(20, 33), max_size=5))
def test_windows_nest_about_the_median(
    start: Start,
    today: int,
    celsius: float,
    own: list[float],
) -> None:
    f = forecast_birth(dropped(today=today, at=celsius, start=start, history=intervals(*own)))
    if f.median and f.window_80 and f.window_95:
        assert f.window_95.start <= f.window_80.start <= f.median <= f.window_80.end <= f.window_95.end


@given(st.integers(-3000, 3000), st.integers(0, 50), st.lists(st.floats(20, 33), max_size=4))
def test_shifting_all_dates_shifts_the_forecast(by: int, today: int, own: list[float]) -> None:
    here = forecast_birth(dropped(today=today, history=intervals(*own)))
    there = forecast_birth(
        dropped(today=today + by, start=LastDrop(day(by), day(by)), history=intervals(*own))
    )
    assert there.p_carrying == pytest.approx(here.p_carrying)
    if here.window_80:
        assert there.window_80 == here.window_80.shifted(by)
        assert there.later_drops == tuple(w.shifted(by) for w in here.later_drops)


@given(
    st.floats(18, 30.5), st.floats(0.05, 3), st.lists(st.floats(20, 33), max_size=5), st.sampled_from(DATED)
)
def test_a_warmer_tank_never_drops_later(cool: float, by: float, own: list[float], key: str) -> None:
    warm = min(cool + by, 31)
    history = intervals(*own, at=25)
    f, g = (forecast_birth(dropped(at=c, key=key, history=history)) for c in (cool, warm))
    assert g.median is not None
    assert f.median is not None
    assert g.median <= f.median


def test_units_do_not_matter_to_a_logged_or_constant_tank() -> None:
    constant = forecast_birth(dropped(today=20, at=27))
    read = forecast_birth(dropped(today=20, temperature=logged([27] * 21, set_point=27)))
    assert read.cdf == constant.cdf


@settings(max_examples=20)
@given(st.integers(0, 2**32 - 1))
def test_more_history_never_widens_on_average(seed: int) -> None:
    rng = np.random.default_rng(seed)
    widths = np.zeros(6)
    for _ in range(12):
        habit = rng.normal(26, 2.9)
        own = [OwnInterval(d, d, 25) for d in rng.normal(habit, 2, 6).clip(10)]
        for known in range(6):
            window = forecast_birth(dropped(history=tuple(own[:known]))).window_80
            assert window is not None
            widths[known] += window.days
    assert all(b <= 1.08 * a for a, b in pairwise(widths))  # windows are whole days
    assert widths[-1] < 0.8 * widths[0]


def test_kin_narrow_the_window_of_a_dam_without_history() -> None:
    kin = tuple(intervals(27, 28, 27, at=25) for _ in range(5))
    alone, among = forecast_birth(dropped()), forecast_birth(dropped(kin_history=kin))
    assert alone.window_80 is not None
    assert among.window_80 is not None
    assert among.window_80.days < alone.window_80.days
