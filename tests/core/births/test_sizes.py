"""Brood sizes against the published guppies."""

from math import log

import numpy as np
import pytest

from app.core.births.sizes import brood_size, by_length, by_number
from app.core.species import SPECIES, species
from tests.core.births.build import dropped

GUPPY = species("guppy")
# Reznick et al. 2004, HP Oropuche, high food: fry by standard length in mm (exponent 3.7)
BY_SL = {20: 5.1, 25: 11.6, 30: 22.7}
# the same: mean of broods 1, 2, 3, 4, 6, 8
BY_NUMBER = {1: 3.8, 2: 7.3, 3: 11.1, 4: 14.5, 6: 22.3, 8: 25.1}


@pytest.mark.parametrize(("sl_mm", "fry"), BY_SL.items())
def test_brood_by_length_is_near_the_published(sl_mm: float, fry: float) -> None:
    assert by_length(GUPPY, sl_mm / 0.81) == pytest.approx(fry, rel=0.2)


@pytest.mark.parametrize(("number", "fry"), BY_NUMBER.items())
def test_brood_by_number_is_near_the_published(number: int, fry: float) -> None:
    assert by_number(GUPPY, number) == pytest.approx(fry, rel=0.35)


def test_nothing_known_is_the_table() -> None:
    size = brood_size(dropped())
    assert (size.median, size.p10, size.p90) == (22, 8, 45)


@pytest.mark.parametrize("key", SPECIES)
def test_first_broods_are_small_in_every_species(key: str) -> None:
    first, tenth = (brood_size(dropped(key=key, brood_number=n)).median for n in (1, 10))
    assert first < tenth or key == "least_killifish"


def test_spread_is_log_normal() -> None:
    size = brood_size(dropped(brood_number=8))
    assert log(size.p90 / size.median) == pytest.approx(1.2816 * 0.5, abs=1e-3)
    assert log(size.median / size.p10) == pytest.approx(1.2816 * 0.5, abs=1e-3)


def test_length_and_number_are_averaged_in_logs() -> None:
    size = brood_size(dropped(brood_number=1, dam_length_mm=30))
    assert size.median == pytest.approx((5 * by_length(GUPPY, 30)) ** 0.5)


def test_her_own_record_counts_more_with_every_brood() -> None:
    medians = [brood_size(dropped(brood_number=10, own_brood_sizes=(44,) * n)).median for n in (0, 1, 3)]
    assert medians[0] == pytest.approx(22)
    assert medians[0] < medians[1] < medians[2] < 44
    spreads = [brood_size(dropped(brood_number=10, own_brood_sizes=(22,) * n)).p90 for n in (0, 1, 3)]
    assert spreads == sorted(spreads, reverse=True)


def test_early_broods_are_held_against_early_broods() -> None:
    small = brood_size(dropped(brood_number=3, own_brood_sizes=(5, 8)))
    assert small.median == pytest.approx(by_number(GUPPY, 3), rel=0.05)


def test_an_empty_brood_is_no_error() -> None:
    assert brood_size(dropped(own_brood_sizes=(0, 0))).median > 0


# Reznick et al. 2004: HPO-1224, HPO-1244, HPO-1250: fry, and mother's SL in mm
PUBLISHED = (
    ((2, 9, 14, 15, 16, 27, 27, 27, 22, 32), (19.1, 21.9, 24.2, 25.1, 26.9, 28.1, 29.4, 29.9, 30.4, 30.7)),
    ((5, 9, 10, 15, 24, 33, 34, 35, 35, 37), (19.7, 21.9, 24.1, 25.8, 27.7, 30.0, 31.1, 31.6, 32.5, 33.0)),
    ((5, 7, 10, 15, 18, 27, 29, 31, 37, 34), (20.1, 22.2, 24.5, 25.9, 28.1, 29.8, 30.2, 31.5, 32.4, 32.5)),
)


def test_published_broods_lie_in_the_band_four_times_in_five() -> None:
    inside = [
        size.p10 <= fry <= size.p90
        for fry_of, length_of in PUBLISHED
        for n, (fry, sl) in enumerate(zip(fry_of, length_of, strict=True))
        for size in [
            brood_size(dropped(brood_number=n + 1, dam_length_mm=sl / 0.81, own_brood_sizes=fry_of[:n]))
        ]
    ]
    assert np.mean(inside) >= 0.8
