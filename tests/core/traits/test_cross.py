"""Crosses give the textbook ratios, on autosomes and on the sex chromosomes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.problems import Problem
from app.core.traits.cross import Expected, Parents, brood_needed, expected, phenotypes
from app.core.traits.linkage import KNOWN
from app.core.traits.loci import Dominance, Inheritance, Locus, Sex, carried
from tests.reference.published import case

BLOND = Locus("blond", Inheritance.AUTOSOMAL, ("B", "b"))
GOLD = Locus("gold", Inheritance.AUTOSOMAL, ("G", "g"))
ON_X = Locus("tail", Inheritance.X, ("T", "t"))
MACULATUS = Locus("maculatus", Inheritance.Y, ("Ma",))


def of(*loci: tuple[Locus, list[str], list[str]]) -> Expected:
    return expected(
        [
            Parents(locus, carried(locus, Sex.MALE, sire), carried(locus, Sex.FEMALE, dam))
            for locus, sire, dam in loci
        ]
    )


def test_two_carriers_give_three_to_one() -> None:
    reference = case("9.GUP.6")
    found = of((BLOND, ["B", "b"], ["B", "b"]))
    assert [found.all["B"], found.all["b"]] == pytest.approx(reference.expected, abs=1e-12)
    assert found.sons == found.daughters


def test_two_loci_give_nine_three_three_one() -> None:
    found = of((BLOND, ["B", "b"], ["B", "b"]), (GOLD, ["G", "g"], ["G", "g"]))
    assert found.all == pytest.approx({"B G": 9 / 16, "B g": 3 / 16, "b G": 3 / 16, "b g": 1 / 16})


def test_incomplete_dominance_gives_one_two_one() -> None:
    locus = Locus("gold", Inheritance.AUTOSOMAL, ("G", "g"), Dominance.INCOMPLETE)
    assert of((locus, ["G", "g"], ["G", "g"])).all == pytest.approx({"G": 0.25, "G/g": 0.5, "g": 0.25})


def test_a_trait_on_the_y_goes_to_every_son_and_no_daughter() -> None:
    reference = case("9.GUP.1")
    found = of((MACULATUS, ["Ma"], []))
    assert [found.sons.get("Ma", 0.0), found.daughters.get("Ma", 0.0)] == reference.expected
    assert found.daughters == {"none": 1.0}


def test_a_trait_on_the_x_goes_from_father_to_daughters_and_from_mother_to_half() -> None:
    reference = case("9.GUP.2")
    from_father = of((ON_X, ["T"], ["t", "t"]))
    from_mother = of((ON_X, ["t"], ["T", "t"]))
    shares = [
        from_father.daughters.get("T", 0.0),
        from_father.sons.get("T", 0.0),
        from_mother.daughters.get("T", 0.0),
        from_mother.sons.get("T", 0.0),
    ]
    assert shares == pytest.approx(reference.expected, abs=1e-12)


def test_crossing_over_brings_the_fathers_y_allele_to_some_daughters() -> None:
    reference = case("9.GUP.5")
    distance = next(known for known in KNOWN if known.other == "Bcp" and known.one == "SdR")
    assert distance.crossing_over == reference.inputs["r"]
    locus = Locus("caudal", Inheritance.Y, ("Bcp", "+"), crossing_over=distance.crossing_over)
    found = of((locus, ["+", "Bcp"], ["+", "+"]))
    shares = [found.sons["Bcp"], found.daughters["Bcp"]]
    assert shares == pytest.approx(reference.expected, abs=reference.tol)


def test_the_brood_needed_to_see_a_hidden_trait_is_the_published_one() -> None:
    reference = case("9.MISS")
    needed = [brood_needed(reference.inputs["p"], certainty) for certainty in (0.95, 0.99)]
    assert needed == reference.expected
    assert brood_needed(1.0) == 1
    assert brood_needed(0.5, 0.5) == 1


ALLELES = st.lists(st.sampled_from(["B", "b"]), min_size=2, max_size=2)


@given(ALLELES, ALLELES, st.sampled_from(["T", "t"]), ALLELES, st.floats(0, 0.5))
def test_fractions_add_up_in_each_sex_and_name_known_phenotypes(
    sire: list[str], dam: list[str], on_x: str, dam_x: list[str], across: float
) -> None:
    tail = Locus("tail", Inheritance.X, ("T", "t"), crossing_over=across)
    dam_tail = ["T" if allele == "B" else "t" for allele in dam_x]
    found = of((BLOND, sire, dam), (tail, [on_x], dam_tail))
    for fractions in (found.sons, found.daughters, found.all):
        assert sum(fractions.values()) == pytest.approx(1.0)
        assert set(fractions) <= set(phenotypes([BLOND, tail]))


def test_impossible_crosses_are_refused() -> None:
    with pytest.raises(Problem, match="each named once"):
        of((BLOND, ["B", "b"], ["B", "b"]), (BLOND, ["B", "b"], ["B", "b"]))
    with pytest.raises(Problem, match="one or more loci"):
        expected([])
    many = [Locus(str(n), Inheritance.AUTOSOMAL, ("a", "b", "c"), Dominance.CODOMINANT) for n in range(6)]
    with pytest.raises(Problem, match="give fewer loci"):
        of(*((locus, ["a", "b"], ["b", "c"]) for locus in many))
    with pytest.raises(Problem, match="never shows"):
        brood_needed(0)
    with pytest.raises(Problem, match="certainty"):
        brood_needed(0.5, 1)
