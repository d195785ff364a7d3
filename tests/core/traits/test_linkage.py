"""Linkage is estimated as in the textbook, and the known distances are the published ones."""

import numpy as np
import pytest

from app.core.problems import Problem
from app.core.traits.linkage import KNOWN, linkage_from_young
from tests.reference.published import case


def test_the_textbook_counts_give_the_published_estimate() -> None:
    reference = case("9.RAO")
    found = linkage_from_young(*reference.inputs["obs"])
    assert found.theta == pytest.approx(reference.expected, abs=reference.tol)


def test_the_estimate_is_the_likeliest() -> None:
    counts = np.array([125, 18, 20, 34])
    theta = np.linspace(0.01, 0.99, 99_001)
    chances = np.array([2 + theta, 1 - theta, 1 - theta, theta]) / 4
    likeliest = theta[(counts[:, None] * np.log(chances)).sum(axis=0).argmax()]
    assert linkage_from_young(*counts.tolist()).theta == pytest.approx(likeliest, abs=2e-5)


def test_loci_passed_on_freely_recombine_in_half() -> None:
    assert linkage_from_young(900, 300, 300, 100).recombination == pytest.approx(0.5)
    assert linkage_from_young(300, 0, 0, 100).recombination == pytest.approx(0.0)


def test_known_distances_are_the_published_ones() -> None:
    assert [known.centimorgans for known in KNOWN] == case("9.GUP.3").expected


def test_no_count_is_refused() -> None:
    with pytest.raises(Problem, match="at least one fish"):
        linkage_from_young(0, 0, 0, 0)
