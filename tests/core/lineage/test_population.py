"""Effective sizes are the textbook's."""

import pytest

from app.core.lineage.population import (
    effective_over_generations,
    effective_size,
    effective_with_families,
    inbreeding_rate,
)
from app.core.problems import Problem
from tests.reference.published import Case, case


@pytest.mark.parametrize("reference", [case("8.NE.1"), case("8.NE.3"), case("8.NE.5")], ids=lambda c: c.id)
def test_effective_size_and_rate_are_the_published_ones(reference: Case) -> None:
    size = effective_size(reference.inputs["Nm"], reference.inputs["Nf"])
    assert [size, inbreeding_rate(size)] == pytest.approx(reference.expected, abs=reference.tol)


def test_generations_of_different_size_take_the_harmonic_mean() -> None:
    reference = case("8.NE.6")
    found = effective_over_generations(reference.inputs["Ne"])
    assert found == pytest.approx(reference.expected, abs=reference.tol)


def test_uneven_families_lower_the_effective_size() -> None:
    reference = case("8.NE.8")
    found = [effective_with_families(reference.inputs["N"], vk) for vk in reference.inputs["Vk"]]
    assert found == pytest.approx(reference.expected, abs=reference.tol)


def test_impossible_populations_are_refused() -> None:
    with pytest.raises(Problem, match="0 cannot breed"):
        effective_size(0, 5)
    with pytest.raises(Problem, match="effective size"):
        inbreeding_rate(0)
    with pytest.raises(Problem, match="each generation"):
        effective_over_generations([])
    with pytest.raises(Problem, match="2 parents"):
        effective_with_families(1, 2)
