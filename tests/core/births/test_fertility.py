"""The chance that she carries, before and after the wait."""

import pytest

from app.core.births import Arrived, Exposed, LastDrop
from app.core.births.fertility import AT_CAP, WITH_MALES, mated, prior_chance, stored
from app.core.species import SPECIES, species
from tests.core.births.build import MAY, day, dropped


@pytest.mark.parametrize("key", [key for key, sp in SPECIES.items() if sp.stores_sperm])
def test_stored_sperm_runs_out_toward_the_cap(key: str) -> None:
    sp = species(key)
    left = [stored(sp, days) for days in (0, 20, 50, sp.storage_days, 400)]
    assert left == sorted(left, reverse=True)
    assert left[0] == 1
    assert left[3] == pytest.approx(AT_CAP)


def test_a_goodeid_keeps_none() -> None:
    assert [stored(species("redtail_goodeid"), days) for days in (0, 1)] == [1, 0]


def test_a_dam_with_males_carries_again() -> None:
    assert prior_chance(dropped()) == WITH_MALES


def test_a_dam_long_without_males_hardly_does() -> None:
    told = dropped(start=LastDrop(MAY, MAY), males_until=day(-240))
    assert prior_chance(told) == pytest.approx(WITH_MALES * AT_CAP)


def test_a_goodeid_without_a_male_since_her_drop_does_not() -> None:
    assert prior_chance(dropped(key="redtail_goodeid", males_until=day(-1))) == 0


def test_a_goodeid_that_dropped_beside_a_male_does() -> None:
    assert prior_chance(dropped(key="redtail_goodeid")) == WITH_MALES
    assert prior_chance(dropped(key="redtail_goodeid", today=9, males_until=day(3))) == WITH_MALES


@pytest.mark.parametrize(("with_males", "chance"), [(True, 0.9), (None, 0.6), (False, 0.1)])
def test_bought_dams_start_by_what_the_seller_says(with_males: bool | None, chance: float) -> None:
    assert prior_chance(dropped(start=Arrived(MAY, with_males))) == chance


def test_a_bought_virgin_does_not_carry() -> None:
    assert prior_chance(dropped(start=Arrived(MAY), virgin=True)) == 0


def test_a_bought_goodeid_without_males_does_not_carry() -> None:
    assert prior_chance(dropped(key="butterfly_goodeid", start=Arrived(MAY, with_males=False))) == 0


def test_a_longer_exposure_mates_her_more_surely() -> None:
    chances = [mated(Exposed(MAY, day(d))) for d in (0, 2, 6, 20)]
    assert chances == sorted(chances)
    assert chances[0] == pytest.approx(0.283, abs=1e-3)
    assert mated(Exposed(MAY)) == 1
