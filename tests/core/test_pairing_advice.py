"""What is said before sires and dams are put together."""

from app.core.pairing_advice import Advice, Partner, Tone, pairing_advice
from app.core.species import SPECIES


def group(species: str, dams: int, sires: int) -> tuple[Advice, ...]:
    return pairing_advice(
        [SPECIES[species]],
        [Partner(f"F{i}") for i in range(dams)],
        [Partner(f"M{i}") for i in range(sires)],
    )


def test_two_or_three_females_a_male_are_called_usual() -> None:
    assert group("guppy", 3, 1)[0].tone is Tone.GOOD
    assert group("guppy", 4, 2)[0].tone is Tone.GOOD
    assert "3 females and 1 male, 3 a male" in group("guppy", 3, 1)[0].words


def test_a_pair_is_noted_and_more_males_than_females_are_warned_of() -> None:
    assert group("guppy", 1, 1)[0].tone is Tone.NOTE
    assert group("guppy", 1, 2)[0].tone is Tone.CARE


def test_swordtails_go_by_their_trial() -> None:
    advice = group("swordtail", 8, 2)[0]
    assert advice.tone is Tone.GOOD
    assert "Jones" in advice.source
    assert group("swordtail", 12, 3)[0].tone is Tone.NOTE
    assert group("swordtail", 1, 4)[0].tone is Tone.CARE


def test_species_without_sperm_storage_need_their_male() -> None:
    said = group("redtail_goodeid", 2, 2)
    assert said[0].tone is Tone.GOOD
    assert any("store no sperm" in advice.words for advice in said)
    assert not any("store no sperm" in advice.words for advice in group("guppy", 2, 1))


def test_sizes_far_apart_are_noted_where_they_were_measured() -> None:
    def said(dam: float | None, sire: float | None) -> list[str]:
        advice = pairing_advice([SPECIES["guppy"]], [Partner("F", dam)], [Partner("M", sire)])
        return [each.words for each in advice if "long as" in each.words or "shorter" in each.words]

    assert said(50, 20) == ["F is 2.5 times as long as M. See that matings succeed."]
    assert said(18, 24) == ["F is shorter than M. She tires sooner; watch her and give cover."]
    assert not said(35, 24)
    assert not said(None, 24)


def test_a_cross_of_species_is_said_to_give_hybrids() -> None:
    said = pairing_advice([SPECIES["guppy"], SPECIES["endler"]], [Partner("F")], [Partner("M")])
    assert any("hybrids" in advice.words for advice in said)


def test_cover_is_always_spoken_of() -> None:
    assert "sight breaks" in group("guppy", 6, 2)[-1].words
    assert "fight" in group("guppy", 6, 2)[-1].words
    assert "fight" not in group("guppy", 6, 1)[-1].words
