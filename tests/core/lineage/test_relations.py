"""Inbreeding and kinship agree with the textbooks, case by case."""

import pytest

from app.core.lineage.pedigree import Animal
from app.core.lineage.relations import Relations, relations
from app.core.problems import Problem
from tests.reference.published import Case, case, cases

SIBLINGS = [Animal("A", "S", "D"), Animal("B", "S", "D"), Animal("H", "S", "E")]


def published(reference: Case) -> Relations:
    return relations(Animal(*row) for row in reference.inputs["pedigree"])


@pytest.mark.parametrize("reference", cases(8, "8.REL"), ids=lambda c: c.quantity.split(": ")[-1])
def test_the_inbreeding_of_an_offspring_is_its_parents_kinship(reference: Case) -> None:
    found = published(reference)
    assert found.inbreeding("X") == pytest.approx(reference.expected, abs=reference.tol)
    sire, dam = next(row[1:] for row in reference.inputs["pedigree"] if row[0] == "X")
    assert found.kinship(sire, dam) == pytest.approx(reference.expected, abs=reference.tol)


def test_repeated_sibling_mating_gives_the_published_series() -> None:
    reference = case("8.FS.1")
    rows = [Animal("s0"), Animal("d0")]
    for generation in range(1, len(reference.expected) + 2):
        parents = f"s{generation - 1}", f"d{generation - 1}"
        rows += [Animal(f"s{generation}", *parents), Animal(f"d{generation}", *parents)]
    found = relations(rows)
    series = [found.inbreeding(f"s{generation}") for generation in range(2, len(reference.expected) + 2)]
    assert series == pytest.approx(reference.expected, abs=reference.tol)


def test_repeated_backcrossing_gives_the_published_series() -> None:
    reference = case("8.BC.1")
    rows = [Animal("A"), Animal("d0", "A", "x")]
    rows += [Animal(f"d{n}", "A", f"d{n - 1}") for n in range(1, len(reference.expected) + 1)]
    found = relations(rows)
    series = [found.inbreeding(f"d{n}") for n in range(1, len(reference.expected) + 1)]
    assert series == pytest.approx(reference.expected, abs=reference.tol)


def test_selfing_gives_the_published_series() -> None:
    reference = case("8.SELF")
    rows = [Animal("0")] + [Animal(str(n), str(n - 1), str(n - 1)) for n in range(1, 5)]
    found = relations(rows)
    assert [found.inbreeding(str(n)) for n in range(1, 5)] == pytest.approx(
        reference.expected, abs=reference.tol
    )


def test_the_textbook_matrix_comes_out_whole() -> None:
    reference = case("8.MRODE.A")
    found = published(reference)
    names = [row[0] for row in reference.inputs["pedigree"]]
    for one, row in zip(names, reference.expected, strict=True):
        assert [2 * found.kinship(one, other) for other in names] == pytest.approx(row, abs=reference.tol)


def test_the_textbook_coefficients_come_out() -> None:
    reference = case("8.MRODE.F")
    found = published(reference).all_inbreeding()
    names = [row[0] for row in reference.inputs["pedigree"]]
    assert [found[name] for name in names] == pytest.approx(reference.expected, abs=reference.tol)


def test_wrights_own_example_comes_out() -> None:
    reference = case("8.RG.F")
    found = published(reference)
    assert found.inbreeding("RoanGauntlet") == pytest.approx(reference.expected, abs=reference.tol)
    fraternity = case("8.RG.D")
    assert found.fraternity("RoyalDuke", "PrincessRoyal") == pytest.approx(
        fraternity.expected, abs=fraternity.tol
    )


def test_near_kin_have_the_textbook_kinship() -> None:
    reference = case("8.KIN.1")
    found = relations(SIBLINGS)
    pairs = (("A", "B"), ("A", "H"), ("A", "A"), ("S", "A"))
    assert [found.kinship(*pair) for pair in pairs] == pytest.approx(reference.expected, abs=reference.tol)


def test_kinship_is_the_same_both_ways_and_nothing_without_common_ancestors() -> None:
    found = relations(SIBLINGS)
    assert found.kinship("A", "H") == found.kinship("H", "A")
    assert found.kinship("D", "E") == 0
    assert found.fraternity("A", "B") == 0.25
    assert found.fraternity("S", "D") == 0


def test_a_name_outside_the_pedigree_is_refused() -> None:
    with pytest.raises(Problem, match="'Z' is not in the pedigree"):
        relations(SIBLINGS).kinship("A", "Z")
