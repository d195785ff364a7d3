"""Every way of reckoning F, dense, sparse or traced, agrees with the tabular method."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.lineage import inbreeding
from app.core.lineage.pedigree import Animal, pedigree
from tests.core.lineage.herds import by_generations, overlapping
from tests.core.lineage.tabular import relationship

HERDS = {
    "few breeders": by_generations(600, 12, 4, 12),
    "many breeders": by_generations(600, 6, 50, 50),
    "overlapping": overlapping(500, 40),
    "mostly founders": overlapping(500, 300),
}


WAYS: dict[str, dict[str, float]] = {
    "dense": {},
    "sparse": {"ALWAYS_DENSE": 0, "DENSE_ENOUGH": 2.0},
    "sparse then dense": {"ALWAYS_DENSE": 0, "DENSE_ENOUGH": 0.05},
    "traced": {"ALWAYS_DENSE": 0, "MOST_DENSE": 0, "MOST_ENTRIES": 0},
}


def tabular(animals: list[Animal]) -> list[float]:
    return list(np.diagonal(relationship(pedigree(animals))) - 1.0)


@pytest.mark.parametrize("herd", HERDS)
@pytest.mark.parametrize("way", WAYS)
def test_every_way_agrees_with_the_tabular_method(
    herd: str, way: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name, value in WAYS[way].items():
        monkeypatch.setattr(inbreeding, name, value)
    found = inbreeding.coefficients(pedigree(HERDS[herd]))
    assert found.tolist() == pytest.approx(tabular(HERDS[herd]), abs=1e-12)


@given(st.integers(2, 60), st.integers(2, 20), st.integers(0, 10_000))
def test_any_pedigree_agrees_with_the_tabular_method(animals: int, founders: int, seed: int) -> None:
    herd = overlapping(animals, min(founders, animals), seed)
    found = inbreeding.coefficients(pedigree(herd))
    assert found.tolist() == pytest.approx(tabular(herd), abs=1e-12)
    assert 0 <= found.min() <= found.max() < 1


def test_no_animals_have_no_inbreeding() -> None:
    assert inbreeding.coefficients(pedigree([])).tolist() == []


def test_random_mating_raises_inbreeding_at_the_expected_rate() -> None:
    herd = by_generations(8_000, 16, 10, 30)
    sorted_ = pedigree(herd)
    found = inbreeding.coefficients(sorted_)
    last = float(found[sorted_.generation == 15].mean())
    effective = (
        4 * 10 * 30 / 40
    )  # Falconer & Mackay (1996), eq. 4.4; F starts to rise in the third generation
    assert last == pytest.approx(1 - (1 - 1 / (2 * effective)) ** 14, rel=0.15)
