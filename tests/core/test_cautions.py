"""Every hazard has its caution, and what else lives in the tank is named."""

import pytest

from app.core.cautions import HANDS, HAZARDS, LABEL, WASTE, Caution, Hazard, Mates, cautions_for


def words(found: tuple[Caution, ...]) -> str:
    return " ".join(f"{one.title}. {one.text}" for one in found)


@pytest.mark.parametrize("hazard", [one for one in Hazard if one is not Hazard.NONE])
def test_every_hazard_has_its_own_caution_first_then_the_label_and_where_it_goes(hazard: Hazard) -> None:
    found = cautions_for(hazard, medicine=True)
    assert found[0] == HAZARDS[hazard]
    assert found[0].kind == "harm"
    assert found[-3:] == (LABEL, HANDS, WASTE)


@pytest.mark.parametrize(
    ("hazard", "named"),
    [
        (Hazard.FORMALDEHYDE, ["gloves", "window", "aerate"]),
        (Hazard.DYE, ["gloves", "law"]),
        (Hazard.COPPER, ["shrimps", "soft"]),
        (Hazard.OXIDISER, ["gloves", "never mix"]),
        (Hazard.ANTIBIOTIC, ["legal advice", "vet"]),
    ],
)
def test_the_cautions_name_what_they_must(hazard: Hazard, named: list[str]) -> None:
    said = words(cautions_for(hazard)).lower()
    assert [word for word in named if word not in said] == []


def test_salt_names_only_those_who_live_there() -> None:
    nobody = cautions_for(Hazard.NONE, salt=True, mates=Mates())
    assert nobody == (HANDS, WASTE)
    said = words(cautions_for(Hazard.NONE, salt=True, mates=Mates(planted=True, soft_water=True)))
    assert "plants" in said
    assert "Catfish" in said
    assert "shrimps" not in said


def test_a_medicine_names_invertebrates_and_the_label() -> None:
    said = words(cautions_for(Hazard.NONE, medicine=True, mates=Mates(invertebrates=True)))
    assert "Snails and shrimps bear less" in said
    assert "The label comes first" in said
    assert "vet" in said


def test_a_mineral_salt_is_brought_in_slowly_and_with_an_eye_on_ammonia() -> None:
    said = words(cautions_for(Hazard.NONE, mineral=True))
    assert "3 °dH a day" in said
    assert "ammonia" in said


def test_food_needs_only_care_with_hands() -> None:
    assert cautions_for(Hazard.NONE, mates=Mates(planted=True, invertebrates=True)) == (HANDS,)
