"""Subject ``kinship``: inbreeding and kinship from a pedigree."""

from typing import Any

from app.cli.reckon.fields import choice, described, nullable, number_field, optional, text_field
from app.cli.reckon.shapes import list_of, map_of, object_of
from app.cli.reckon.subject import Output, Subject
from app.core.lineage.pedigree import Animal
from app.core.lineage.relations import relations

NAME = text_field()
PARENT = nullable(NAME)
ANIMAL = object_of(
    {
        "id": NAME,
        "sire": described(PARENT, "an id, or null where unknown"),
        "dam": described(PARENT, "an id, or null where unknown"),
        "sex": optional(nullable(choice("male", "female", "unknown"))),
    }
)
PAIR = list_of(NAME, at_least=2, at_most=2)
ACCEPTS = object_of(
    {
        "pedigree": described(
            list_of(ANIMAL, at_least=1), "in any order; a parent without an entry is a founder"
        ),
        "pairs": described(optional(list_of(PAIR)), "of ids whose kinship is wanted"),
    }
)
RETURNS = object_of(
    {
        "inbreeding": described(map_of(number_field(0, 1)), "Wright's F by id"),
        "kinship": described(
            list_of(object_of({"pair": PAIR, "kinship": number_field(0, 1)})), "in the order of the pairs"
        ),
    }
)


def run(item: dict[str, Any]) -> Output:
    """Reckon F of all, and the kinship of the pairs."""
    found = relations(_animal(row) for row in item["pedigree"])
    inbreeding = found.all_inbreeding()
    return {
        "inbreeding": {row["id"]: inbreeding[row["id"]] for row in item["pedigree"]},
        "kinship": [{"pair": pair, "kinship": found.kinship(*pair)} for pair in item["pairs"] or ()],
    }


def _animal(row: dict[str, Any]) -> Animal:
    sex = None if row["sex"] == "unknown" else row["sex"]
    return Animal(row["id"], row["sire"], row["dam"], sex)


SUBJECT = Subject("kinship", ACCEPTS, RETURNS, run)
