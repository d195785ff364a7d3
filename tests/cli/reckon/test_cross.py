"""``reckon cross`` gives the ratios by sex and tests what was counted."""

import pytest

from tests.cli.reckon.ask import Item, ask, refusal
from tests.reference.published import case

BLOND: Item = {"name": "blond", "inheritance": "autosomal", "alleles": ["B", "b"], "dominance": "complete"}
TAIL: Item = {"name": "tail", "inheritance": "x", "alleles": ["T", "t"], "dominance": "T"}
SPOT: Item = {"name": "spot", "inheritance": "y", "alleles": ["Ma"], "dominance": "complete"}
CARRIERS: Item = {"loci": [BLOND], "sire": {"blond": "Bb"}, "dam": {"blond": ["B", "b"]}}


def test_two_carriers_give_three_to_one_in_both_sexes() -> None:
    answer = ask("cross", CARRIERS)
    assert answer["expected"]["all"] == pytest.approx({"B": 0.75, "b": 0.25})
    assert answer["expected"]["male"] == answer["expected"]["female"]
    assert answer["test"] is None


def test_sex_linked_loci_differ_by_sex() -> None:
    item = {
        "loci": [TAIL, SPOT],
        "sire": {"tail": ["T"], "spot": ["Ma"]},
        "dam": {"tail": "t/t", "spot": None},
    }
    expected = ask("cross", item)["expected"]
    assert expected["male"] == {"t Ma": 1.0}
    assert expected["female"] == {"T none": 1.0}
    assert expected["all"] == {"t Ma": 0.5, "T none": 0.5}


def test_a_count_is_tested_with_the_choice_explained() -> None:
    reference = case("9.MEN.4")
    seen, hidden = reference.inputs["obs"]
    answer = ask("cross", CARRIERS | {"observed": {"B": seen, "b": hidden}})
    assert answer["test"]["method"] == "exact multinomial"
    assert answer["test"]["p_value"] == pytest.approx(reference.expected[3], abs=reference.tol)
    assert "possible counts were listed" in answer["test"]["why"]


def test_counts_by_sex_are_tested_by_sex() -> None:
    item = {"loci": [TAIL], "sire": {"tail": ["T"]}, "dam": {"tail": ["t", "t"]}}
    good = ask("cross", item | {"observed": {"male": {"t": 9}, "female": {"T": 11}}})
    assert good["test"]["p_value"] == 1.0
    bad = ask("cross", item | {"observed": {"male": {"t": 8, "T": 1}, "female": {"T": 11}}})
    assert (bad["test"]["method"], bad["test"]["p_value"]) == ("impossible", 0.0)


def test_the_order_of_dominance_may_be_given() -> None:
    locus = BLOND | {"dominance": ["b", "B"]}
    answer = ask("cross", CARRIERS | {"loci": [locus]})
    assert answer["expected"]["all"] == pytest.approx({"b": 0.75, "B": 0.25})
    split = ask("cross", CARRIERS | {"loci": [BLOND | {"dominance": "codominant"}]})
    assert split["expected"]["all"] == pytest.approx({"B": 0.25, "B/b": 0.5, "b": 0.25})


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"loci": [BLOND | {"inheritance": "z"}]}, 'loci[0].inheritance: "z" is not known'),
        ({"loci": [BLOND | {"dominance": "b over B"}]}, "loci[0].dominance: 'b over B' is not known"),
        ({"loci": [BLOND | {"dominance": ["B"]}]}, "loci[0].dominance: the order must name each"),
        ({"loci": [BLOND | {"alleles": ["B", "B"]}]}, "loci[0].alleles"),
        ({"loci": [BLOND | {"crossing_over": 0.1}]}, "loci[0].crossing_over"),
        ({"sire": {"blond": "Bx"}}, "sire.blond: 'Bx' cannot be read; write it as B/b"),
        ({"dam": {}}, "dam.blond: 0 alleles; a female has 2"),
        ({"dam": {"blond": "Bb", "gold": "Gg"}}, "dam.gold: no such locus; known: blond"),
        ({"observed": {"green": 3}}, "observed: 'green' cannot show at these loci; known: B, b"),
        ({"observed": {"B": 0}}, "observed: nothing was counted"),
        ({"observed": {"B": 3, "male": {"b": 2}}}, "observed: give counts by phenotype, or"),
        ({"observed": {"B": -3}}, 'observed["B"]: -3 cannot be'),
    ],
)
def test_impossible_crosses_are_refused_by_place(change: Item, words: str) -> None:
    assert words in refusal("cross", CARRIERS | change)
