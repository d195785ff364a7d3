"""Size tells how far along a batch is."""

from datetime import date, timedelta

import pytest

from app.core.growth import GrowthEvidence, LengthCheck, fit_growth
from app.core.growth.pace import Pace, pace
from app.core.species import species
from app.core.thermal import TemperatureLog

BORN = date(2026, 1, 1)


def measured(factor: float, celsius: float = 25.0) -> Pace:
    checks = [
        LengthCheck.summed(BORN + timedelta(days=d), 20, factor * mm) for d, mm in ((14, 10.9), (35, 15.1))
    ]
    fit = fit_growth(
        GrowthEvidence(
            species("guppy"),
            BORN,
            BORN + timedelta(days=40),
            temperature=TemperatureLog.constant(celsius),
            checks=checks,
        )
    )
    return pace(species("guppy"), fit.posterior, 30.0)


def test_usual_fish_keep_the_usual_pace() -> None:
    assert measured(1.0).factor == pytest.approx(1.0, abs=0.05)


def test_short_fish_are_slow_and_long_fish_fast() -> None:
    assert measured(0.85).factor > 1.15
    assert measured(1.15).factor < 0.87


def test_warmth_is_not_counted_twice() -> None:
    """Fish of the usual length in cool water are ahead of their thermal age."""
    assert measured(1.0, 21.0).factor < 0.85


def test_checks_leave_less_doubt_than_the_species() -> None:
    found = measured(1.0)
    assert found.sd < 0.6 * found.usual_sd
