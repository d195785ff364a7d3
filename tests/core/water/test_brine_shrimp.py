"""A hatch is started so that nauplii are ready at the hour they are wanted."""

from datetime import datetime, timedelta

import pytest

from app.core.problems import Problem
from app.core.water.brine_shrimp import Hours, hatch_for, hatch_hours
from tests.reference.published import case

WANTED = datetime(2025, 3, 9, 8, 0)  # noqa: DTZ001 (a civil hour of the fishroom)


def test_a_gram_of_cysts_takes_the_published_litres() -> None:
    reference = case("14.ART.1")
    litres, nauplii = reference.expected
    hatch = hatch_for(nauplii, WANTED, 28)
    assert hatch.cysts_g == pytest.approx(reference.inputs["g"], abs=reference.tol)
    assert hatch.litres == pytest.approx(litres, abs=reference.tol)


def test_salt_follows_the_litres() -> None:
    hatch = hatch_for(200_000, WANTED, 28)
    assert hatch.salt_g == pytest.approx(0.5 * case("14.ART.2").expected[0], abs=0.01)


def test_cooler_water_starts_earlier() -> None:
    assert hatch_hours(25) == Hours(24, 30)
    assert hatch_hours(29) == Hours(18, 24)
    assert hatch_hours(21) == Hours(36, 48)
    warm, cool = hatch_for(50_000, WANTED, 28), hatch_for(50_000, WANTED, 22)
    assert warm.start == WANTED - timedelta(hours=24)
    assert cool.start == WANTED - timedelta(hours=48)
    assert cool.start < cool.earliest_ready < cool.ready == WANTED


def test_the_tins_own_figure_counts() -> None:
    assert hatch_for(100_000, WANTED, 28, nauplii_per_g=250_000).cysts_g == pytest.approx(0.4)


@pytest.mark.parametrize(
    ("nauplii", "celsius", "per_g", "field"),
    [
        (0, 28, 1, "nauplii"),
        (1, 28, 0, "nauplii_per_g"),
        (1, 82, 1, "temperature_c"),
        (1, 15, 1, "temperature_c"),
    ],
)
def test_impossible_hatches_are_refused(nauplii: float, celsius: float, per_g: float, field: str) -> None:
    with pytest.raises(Problem) as caught:
        hatch_for(nauplii, WANTED, celsius, per_g)
    assert caught.value.field == field
