"""The drops after the next: wider, later, and less likely without a male."""

import numpy as np
import pytest

from app.core.births import Arrived, Exposed, forecast_birth
from app.core.births.later import males_left
from app.core.births.learning import drift
from tests.core.births.build import MAY, day, dropped, intervals


def test_later_windows_follow_at_an_interval_and_widen() -> None:
    f = forecast_birth(dropped(history=intervals(*[26] * 6, at=25)))
    assert f.window_80 is not None
    widths = [f.window_80.days, *(w.days for w in f.later_drops)]
    assert widths == sorted(widths)
    middles = [w.start.toordinal() + w.days / 2 for w in (f.window_80, *f.later_drops)]
    assert np.diff(middles) == pytest.approx([27.0, 27.4, 27.7], abs=1.0)


def test_later_windows_hold_what_is_simulated() -> None:
    # the same model by simulation: dam unknown, noise, moving level, skips, drift
    rng = np.random.default_rng(5)
    told = dropped(brood_number=4)
    n = 40_000
    level = rng.normal(26, (4 + 2.1**2) ** 0.5, n)
    total = np.zeros(n)
    for k in range(2):
        number = 3 + k
        cycles = 1 + (rng.random(n) < 0.02)
        total += cycles * (
            level + drift(told.species, number) - drift(told.species, 3) + rng.normal(0, 1.84, n)
        )
        level = level + rng.normal(0, 0.6, n)
    total += drift(told.species, 3)
    window = forecast_birth(told).later_drops[0]
    held = (total >= (window.start - MAY).days - 0.5) & (total < (window.end - MAY).days + 0.5)
    assert held.mean() == pytest.approx(0.82, abs=0.025)


def test_chances_fall_by_the_cycle_with_males() -> None:
    f = forecast_birth(dropped())
    assert f.later_chances == pytest.approx([0.95**2, 0.95**3, 0.95**4])


def test_chances_fall_faster_on_stored_sperm() -> None:
    alone = forecast_birth(dropped(males_until=day(-60)))
    with_males = forecast_birth(dropped())
    assert all(a < b for a, b in zip(alone.later_chances, with_males.later_chances, strict=False))
    assert list(alone.later_chances) == sorted(alone.later_chances, reverse=True)
    assert "no male since 2 March" in " ".join(alone.notes)


def test_hopeless_later_drops_are_left_out() -> None:
    assert len(forecast_birth(dropped(males_until=day(-200))).later_drops) < 3


def test_a_goodeid_without_a_male_has_no_later_drops() -> None:
    told = dropped(key="redtail_goodeid", start=Exposed(day(-20), day(-6)))
    assert forecast_birth(told).later_drops == ()


def test_a_goodeid_with_males_has() -> None:
    assert len(forecast_birth(dropped(key="redtail_goodeid", start=Exposed(day(-20)))).later_drops) == 3


def test_the_day_the_males_left() -> None:
    assert males_left(dropped()) is None
    assert males_left(dropped(males_until=day(-3))) == day(-3)
    assert males_left(dropped(start=Exposed(day(-9), day(-2)))) == day(-2)
    assert males_left(dropped(start=Arrived(day(-9)))) == day(-9)
