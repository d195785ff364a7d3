"""``reckon kinship`` gives F of all and the kinship of pairs."""

import pytest

from tests.cli.reckon.ask import Item, ask, refusal
from tests.reference.published import case


def rows(*triples: tuple[str, str | None, str | None]) -> list[Item]:
    return [{"id": one, "sire": sire, "dam": dam} for one, sire, dam in triples]


def test_the_textbook_pedigree_comes_out() -> None:
    reference, matrix = case("8.MRODE.F"), case("8.MRODE.A")
    item = {"pedigree": rows(*reference.inputs["pedigree"]), "pairs": [["3", "4"], ["5", "6"]]}
    answer = ask("kinship", item)
    assert list(answer["inbreeding"].values()) == pytest.approx(reference.expected)
    assert answer["kinship"] == [
        {"pair": ["3", "4"], "kinship": matrix.expected[2][3] / 2},
        {"pair": ["5", "6"], "kinship": matrix.expected[4][5] / 2},
    ]


def test_a_loop_is_refused_naming_the_animals() -> None:
    line = refusal("kinship", {"pedigree": rows(("A", "C", None), ("B", "A", None), ("C", "B", None))})
    assert line.startswith("pedigree: a loop: 'A' ← 'C' ← 'B' ← 'A'")


def test_impossible_pedigrees_are_refused() -> None:
    siblings = rows(("A", "S", "D"), ("B", "S", "D"))
    assert "'A' is given twice" in refusal("kinship", {"pedigree": siblings + siblings})
    assert "pairs: 'Z' is not in the pedigree" in refusal(
        "kinship", {"pedigree": siblings, "pairs": [["A", "Z"]]}
    )
    assert "pairs[0]: 3 entries; give 2" in refusal(
        "kinship", {"pedigree": siblings, "pairs": [["A", "B", "C"]]}
    )
    assert "pedigree: 0 entries" in refusal("kinship", {"pedigree": []})
    assert "pedigree[0].dam: missing" in refusal("kinship", {"pedigree": [{"id": "A", "sire": None}]})
    female = [{"id": "S", "sire": None, "dam": None, "sex": "female"}, *siblings]
    assert "'S' is a female and cannot be the sire of 'A'" in refusal("kinship", {"pedigree": female})
