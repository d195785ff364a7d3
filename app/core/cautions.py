"""What to mind before something goes into the water: short, and always after the label, the law and a vet."""

from dataclasses import dataclass
from enum import StrEnum


class Hazard(StrEnum):
    """Which caution a substance needs beside the label's own."""

    NONE = "none"
    FORMALDEHYDE = "formaldehyde type"
    DYE = "dye"
    COPPER = "copper"
    OXIDISER = "oxidiser"
    ANTIBIOTIC = "antibiotic"


@dataclass(frozen=True, slots=True)
class Caution:
    """A short caution; kind is "care", "harm" or "note"."""

    text: str
    title: str = "Take care"
    kind: str = "care"


@dataclass(frozen=True, slots=True)
class Mates:
    """What else lives in a tank and bears less than livebearers do."""

    planted: bool = False
    invertebrates: bool = False
    soft_water: bool = False


HANDS = Caution(
    "Unplug heater, pump and light before hands go in. Cover cuts, and wash hands afterwards: fish can carry "
    "bacteria (Mycobacterium) that infect skin.",
    "Hands and electricity",
    "note",
)
LABEL = Caution(
    "The label comes first: its dose, its limits, and what it must not meet. Then local law, and a vet who "
    "treats fish where you can reach one.",
    "Before you dose",
)
WASTE = Caution(
    "Treated water goes down the drain, and what is left over to where your community takes chemicals: never "
    "into a pond or stream. Never release fish.",
    "Wild waters",
    "note",
)
KILLING = Caution(
    "A fish that suffers without hope is killed by veterinary guidance: a vet knows the way and the dose for "
    "its size. Ice, boiling water, carbon dioxide tablets and the drain are cruel, and often forbidden.",
    "A good end",
)
EVERY_CASE = (HANDS, WASTE, KILLING)
"""What to mind at every case of illness, whatever goes into the water."""
HAZARDS = {
    Hazard.FORMALDEHYDE: Caution(
        "Wear gloves and eye protection, open a window, do not breathe it in, and lock it away. It takes "
        "oxygen out of the water: aerate strongly, and keep to the label's limit on temperature.",
        "Poison for people",
        "harm",
    ),
    Hazard.DYE: Caution(
        "Wear gloves, air the room and raise no dust: some dyes harm people, and all stain. Local law "
        "forbids some of them, and all for fish that anyone may eat.",
        "Gloves and air",
        "harm",
    ),
    Hazard.COPPER: Caution(
        "Copper kills shrimps, snails and other invertebrates, even long after, from gravel and rock. In "
        "soft water it kills fish at doses that hard water bears: test KH and copper.",
        "Copper kills invertebrates",
        "harm",
    ),
    Hazard.OXIDISER: Caution(
        "It burns skin, eyes and gills. Wear gloves and eye protection, dissolve it first, never mix it with "
        "another chemical, keep it from anything that burns, and aerate.",
        "It burns",
        "harm",
    ),
    Hazard.ANTIBIOTIC: Caution(
        "Use none without local legal advice: in many places only a vet may give it. Without a known germ it "
        "seldom helps, it breeds resistance, and it can stop the filter.",
        "Ask a vet first",
        "harm",
    ),
}
HARDER = Caution(
    "Raise hardness by no more than 3 °dH a day (common practice). KH lifts pH with it, and with pH the "
    "poisonous part of any ammonia: test that first.",
    "Slowly",
)
SALT_MATES = (
    ("planted", "Salt harms most plants: move them first, or treat the fish elsewhere."),
    ("invertebrates", "Salt harms snails and shrimps: move them first."),
    ("soft_water", "Catfish, tetras and other soft-water fish bear little salt: move them first."),
)
MEDICINE_MATES = (
    ("planted", "Plants may suffer: the label says whether they bear it."),
    ("invertebrates", "Snails and shrimps bear less than fish: move them unless the label names them safe."),
    ("soft_water", "Soft-water and scaleless fish bear less of many medicines: look for them on the label."),
)


def cautions_for(
    hazard: Hazard,
    *,
    salt: bool = False,
    medicine: bool = False,
    mineral: bool = False,
    mates: Mates | None = None,
) -> tuple[Caution, ...]:
    """Return what to mind before a dose, the gravest first.

    Parameters
    ----------
    hazard : Hazard
        What kind of chemical it is.
    salt, medicine, mineral : bool
        What it is to the water; foods are none of these.
    mates : Mates, optional
        What else lives in the tank, where that is known.
    """
    found = [HAZARDS[hazard]] if hazard in HAZARDS else []
    grave = medicine or hazard is not Hazard.NONE
    told = _mates(SALT_MATES if salt else MEDICINE_MATES, mates) if salt or grave else ""
    if told:
        found.append(Caution(told, "Others in this tank", "harm"))
    if grave:
        found.append(LABEL)
    if mineral:
        found.append(HARDER)
    return (*found, HANDS, *((WASTE,) if salt or grave else ()))


def _mates(said: tuple[tuple[str, str], ...], mates: Mates | None) -> str:
    return " ".join(words for name, words in said if mates is not None and getattr(mates, name))
