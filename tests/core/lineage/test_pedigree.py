"""Pedigrees are sorted, completed with founders, and refused by name when they cannot be."""

import re

import pytest

from app.core.lineage.pedigree import Animal, pedigree
from app.core.problems import Problem


def test_parents_stand_before_their_young_whatever_the_order() -> None:
    sorted_ = pedigree([Animal("C", "A", "B"), Animal("D", "C", "B"), Animal("A"), Animal("B")])
    assert sorted_.ids == ("A", "B", "C", "D")
    assert sorted_.generation.tolist() == [0, 0, 1, 2]
    assert sorted_.sire.tolist() == [-1, -1, 0, 2]


def test_a_parent_without_an_entry_is_a_founder() -> None:
    sorted_ = pedigree([Animal("C", "A", "B")])
    assert set(sorted_.ids) == {"A", "B", "C"}


def test_an_empty_pedigree_is_one() -> None:
    assert pedigree([]).ids == ()


def test_a_loop_is_refused_naming_the_animals() -> None:
    rows = [Animal("A", "C"), Animal("B", "A"), Animal("C", None, "B"), Animal("D", "C"), Animal("E")]
    with pytest.raises(Problem) as caught:
        pedigree(rows)
    message = caught.value.message
    assert "a loop" in message
    assert all(f"'{name}'" in message for name in "ABC")
    assert "'D'" not in message
    assert "'E'" not in message
    assert caught.value.field == "pedigree"


def test_a_fish_that_is_its_own_parent_is_refused() -> None:
    with pytest.raises(Problem, match=re.escape("a loop: 'A' ← 'A', each the young of the next")):
        pedigree([Animal("A", "A", "B")])


def test_a_long_loop_is_named_by_its_ends() -> None:
    rows = [Animal(str(number), str((number + 1) % 100)) for number in range(100)]
    with pytest.raises(Problem, match="…"):
        pedigree(rows)


def test_an_animal_given_twice_is_refused() -> None:
    with pytest.raises(Problem, match="'A' is given twice"):
        pedigree([Animal("A"), Animal("A", "B")])


def test_a_parent_of_the_other_sex_is_refused() -> None:
    with pytest.raises(Problem, match="'A' is a female and cannot be the sire of 'B'"):
        pedigree([Animal("A", sex="female"), Animal("B", "A")])
    with pytest.raises(Problem, match="'A' is a male and cannot be the dam of 'B'"):
        pedigree([Animal("A", sex="male"), Animal("B", None, "A")])


def test_an_unknown_name_is_refused() -> None:
    with pytest.raises(Problem, match="'Z' is not in the pedigree"):
        pedigree([Animal("A")]).at("Z")
