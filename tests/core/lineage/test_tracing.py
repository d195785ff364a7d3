"""Shares in ancestors are halves of halves, and kinship follows from them."""

import numpy as np
import pytest

from app.core.lineage.inbreeding import coefficients
from app.core.lineage.pedigree import Animal, pedigree
from app.core.lineage.tracing import kinship_at, mendelian_variance, trace
from tests.core.lineage.herds import overlapping
from tests.core.lineage.tabular import relationship


def test_each_generation_halves_the_share() -> None:
    rows = pedigree([Animal("C", "A", "B"), Animal("D", "C", "A")])
    shares = {rows.ids[at]: share for at, share in trace(rows, rows.at("D")).items()}
    assert shares == {"D": 1.0, "C": 0.5, "A": 0.75, "B": 0.25}


def test_kinship_by_tracing_is_half_the_tabular_relationship() -> None:
    rows = pedigree(overlapping(80, 10))
    found = coefficients(rows)
    variance = mendelian_variance(rows, found, 0, len(found))
    traced = [trace(rows, place) for place in range(len(found))]
    kinship = np.array([[kinship_at(one, other, variance) for other in traced] for one in traced])
    assert kinship == pytest.approx(relationship(rows) / 2, abs=1e-12)


def test_founders_have_all_their_variance_and_an_inbred_family_less() -> None:
    rows = pedigree([Animal("A"), Animal("B"), Animal("C", "A", "B"), Animal("D", "A")])
    variance = dict(zip(rows.ids, mendelian_variance(rows, coefficients(rows), 0, 4), strict=True))
    assert variance == {"A": 1.0, "B": 1.0, "C": 0.5, "D": 0.75}
