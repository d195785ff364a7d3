"""What is worth knowing before sires and dams are put together."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from app.core.species import Reproduction, Species
from app.core.wording import many

BIG_DAM = 2.2
"""From how many times a sire's length a dam is called much bigger (judgement, no source)."""
SMALL_DAM = 0.9
"""Below which part of a sire's length a dam is called small for him (judgement, no source)."""


class Tone(StrEnum):
    """How a piece of advice is meant."""

    GOOD = "good"
    NOTE = "note"
    CARE = "care"


@dataclass(frozen=True, slots=True)
class Advice:
    """One sentence or two, how they are meant, and what they rest on."""

    tone: Tone
    words: str
    source: str = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Partner:
    """What the advice needs of one fish; total length in mm, None where it was not measured."""

    label: str
    length_mm: float | None = None


def pairing_advice(
    species: Sequence[Species], dams: Sequence[Partner], sires: Sequence[Partner]
) -> tuple[Advice, ...]:
    """Return the advice on a group, the ratio first.

    Parameters
    ----------
    species : sequence of Species
        The species of the members; more than one where they are to be crossed.
    dams, sires : sequence of Partner
        Who takes part; at least one each.
    """
    kinds = {each.key: each for each in species}
    return (
        _ratio(next(iter(kinds.values())), len(dams), len(sires)),
        *_storage(list(kinds.values())),
        *_sizes(dams, sires),
        *_hybrids(list(kinds.values())),
        _cover(len(dams), len(sires)),
    )


def _ratio(species: Species, dams: int, sires: int) -> Advice:
    seen = f"{many(dams, 'female')} and {many(sires, 'male')}"
    if species.key == "swordtail":
        return _swordtails(seen, dams, sires)
    if species.reproduction is not Reproduction.STORES_SPERM:
        return Advice(
            Tone.GOOD if sires <= dams else Tone.NOTE,
            f"{seen}. Pairs and small groups of about as many males as females are usual for this species.",
        )
    if sires > dams:
        return Advice(
            Tone.CARE,
            f"{seen}. More males than females leaves the females no rest; 2 to 3 females a male is usual.",
        )
    if dams < 2 * sires:
        return Advice(
            Tone.NOTE,
            f"{seen}. 2 to 3 females a male is usual, so that no female is courted all day. "
            "A pair can do with cover.",
        )
    return Advice(Tone.GOOD, f"{seen}, {dams / sires:.2g} a male. 2 to 3 females a male is usual.")


def _swordtails(seen: str, dams: int, sires: int) -> Advice:
    """Advise on swordtails after the trial of Jones et al. (1998), J. World Aquac. Soc. 29:92."""
    tone = Tone.GOOD if dams >= 2 * sires and sires <= 2 else Tone.NOTE if dams >= sires else Tone.CARE
    return Advice(
        tone,
        f"{seen}. In a trial in 300-litre tanks 2 males with 8 females gave more fry than equal numbers "
        "or more males than females, and more adults in the tank gave no more fry. Two males at most.",
        "Jones et al. 1998, Journal of the World Aquaculture Society 29:92",
    )


def _storage(kinds: Sequence[Species]) -> list[Advice]:
    if all(each.stores_sperm for each in kinds):
        return []
    return [
        Advice(
            Tone.NOTE,
            "Females of this species store no sperm: a male has to be with her after each drop, or there "
            "is no next brood.",
            "the biology of the species",
        )
    ]


def _sizes(dams: Sequence[Partner], sires: Sequence[Partner]) -> list[Advice]:
    found = []
    for dam in dams:
        for sire in sires:
            words = _size_words(dam, sire)
            if words:
                found.append(Advice(Tone.NOTE, words, "judgement, no source"))
    return found


def _size_words(dam: Partner, sire: Partner) -> str:
    if dam.length_mm is None or sire.length_mm is None:
        return ""
    times = dam.length_mm / sire.length_mm
    if times >= BIG_DAM:
        return f"{dam.label} is {times:.1f} times as long as {sire.label}. See that matings succeed."
    if times <= SMALL_DAM:
        return f"{dam.label} is shorter than {sire.label}. She tires sooner; watch her and give cover."
    return ""


def _hybrids(kinds: Sequence[Species]) -> list[Advice]:
    if len(kinds) < 2:
        return []
    names = " × ".join(each.common_name for each in kinds)
    return [
        Advice(
            Tone.CARE,
            f"{names}: the young are hybrids. Keep them apart from both lines and say so when they go to "
            "others.",
        )
    ]


def _cover(dams: int, sires: int) -> Advice:
    more = " Males also fight among themselves: have room and sight breaks." if sires > 1 else ""
    single = " A single female gets all his attention." if dams == 1 else ""
    return Advice(
        Tone.NOTE,
        "Give plants or sight breaks to hide behind, and take out a female that is chased without rest."
        + single
        + more,
    )
