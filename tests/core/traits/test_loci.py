"""Alleles are read, counted and shown by the rules of their chromosome."""

import pytest

from app.core.problems import Problem
from app.core.traits.loci import Carried, Dominance, Inheritance, Locus, Sex, carried, written_alleles

BLOND = Locus("blond", Inheritance.AUTOSOMAL, ("B", "b"))
ON_X = Locus("tail", Inheritance.X, ("T", "t"))
ON_Y = Locus("spot", Inheritance.Y, ("Ma",))


def test_a_dominant_allele_hides_the_other() -> None:
    assert BLOND.shown(("b", "B")) == "B"
    assert BLOND.shown(("b", "b")) == "b"


def test_without_dominance_each_pair_shows_as_itself() -> None:
    gold = Locus("gold", Inheritance.AUTOSOMAL, ("G", "g"), Dominance.INCOMPLETE)
    assert [gold.shown(pair) for pair in (("G", "G"), ("g", "G"), ("g", "g"))] == ["G", "G/g", "g"]


def test_a_series_of_alleles_shows_the_first_present() -> None:
    series = Locus("moon", Inheritance.AUTOSOMAL, ("M", "m1", "m2"))
    assert series.shown(("m2", "m1")) == "m1"
    assert series.all_shown() == ("M", "m1", "m2")


def test_who_carries_none_shows_none() -> None:
    assert ON_Y.shown((None, None)) == "none"
    assert ON_Y.all_shown() == ("Ma", "none")


def test_parents_carry_as_many_alleles_as_their_chromosomes() -> None:
    assert carried(BLOND, Sex.MALE, ["B", "b"]) == Carried("B", "b")
    assert carried(ON_X, Sex.MALE, ["T"]) == Carried("T", None)
    assert carried(ON_X, Sex.FEMALE, ["T", "t"]) == Carried("T", "t")
    assert carried(ON_Y, Sex.MALE, ["Ma"]) == Carried(None, "Ma")
    assert carried(ON_Y, Sex.FEMALE, []) == Carried(None, None)


@pytest.mark.parametrize(
    ("locus", "sex", "alleles", "words"),
    [
        (BLOND, Sex.MALE, ["B"], "1 alleles; a male has 2 at blond"),
        (ON_X, Sex.FEMALE, ["T"], "1 alleles; a female has 2 at tail"),
        (ON_Y, Sex.FEMALE, ["Ma"], "1 alleles; a female has 0 or 2 at spot"),
        (ON_Y, Sex.MALE, [], "0 alleles; a male has 1 or 2 at spot"),
        (BLOND, Sex.MALE, ["B", "x"], "'x' is no allele of blond; known: B, b"),
    ],
)
def test_impossible_genotypes_are_refused(locus: Locus, sex: Sex, alleles: list[str], words: str) -> None:
    with pytest.raises(Problem, match=words):
        carried(locus, sex, alleles)


def test_written_genotypes_are_split() -> None:
    assert written_alleles("B/b", BLOND) == ("B", "b")
    assert written_alleles("Bb", BLOND) == ("B", "b")
    assert written_alleles("T", ON_X) == ("T",)
    with pytest.raises(Problem, match="write it as B/b"):
        written_alleles("Bx", BLOND)
    with pytest.raises(Problem, match="cannot be read"):
        written_alleles("aaa", Locus("a", Inheritance.AUTOSOMAL, ("a", "aa")))


def test_impossible_loci_are_refused() -> None:
    with pytest.raises(Problem, match="each named once"):
        Locus("x", Inheritance.AUTOSOMAL, ("B", "B"))
    with pytest.raises(Problem, match="needs alleles"):
        Locus("x", Inheritance.AUTOSOMAL, ())
    with pytest.raises(Problem, match="give 0 to 0"):
        Locus("x", Inheritance.AUTOSOMAL, ("B", "b"), crossing_over=0.1)
