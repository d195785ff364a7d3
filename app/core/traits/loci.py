"""What a locus is, which alleles a parent carries there, and what an animal shows."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from app.core.problems import Problem

NOTHING = "none"  # what an animal shows that carries no allele of a sex-linked locus


class Inheritance(StrEnum):
    """Which chromosome a locus sits on; males are XY."""

    AUTOSOMAL = "autosomal"
    X = "x"
    Y = "y"


class Dominance(StrEnum):
    """Whether one allele hides the other, or each pair shows as itself."""

    COMPLETE = "complete"
    INCOMPLETE = "incomplete"
    CODOMINANT = "codominant"


class Sex(StrEnum):
    """Of an animal."""

    MALE = "male"
    FEMALE = "female"


@dataclass(frozen=True, slots=True)
class Locus:
    """A place on a chromosome.

    With complete dominance an allele hides those named after it. ``crossing_over`` is the chance
    that a sex-linked allele changes between the father's X and Y.
    """

    name: str
    inheritance: Inheritance
    alleles: tuple[str, ...]
    dominance: Dominance = Dominance.COMPLETE
    crossing_over: float = 0.0

    def __post_init__(self) -> None:
        if not self.alleles or len(set(self.alleles)) != len(self.alleles):
            raise Problem(f"{self.name!r} needs alleles, each named once", "alleles")
        highest = 0.0 if self.inheritance is Inheritance.AUTOSOMAL else 0.5
        if not 0.0 <= self.crossing_over <= highest:
            raise Problem(f"{self.crossing_over:g} cannot be here; give 0 to {highest:g}", "crossing_over")

    def shown(self, carried: Iterable[str | None]) -> str:
        """Return what an animal with these alleles shows, as allele names."""
        present = {allele for allele in carried if allele is not None}
        ranked = [allele for allele in self.alleles if allele in present]
        if not ranked:
            return NOTHING
        return ranked[0] if self.dominance is Dominance.COMPLETE else "/".join(ranked)

    def all_shown(self) -> tuple[str, ...]:
        """Return everything an animal could show at this locus."""
        pairs = [(one, other) for one in self.alleles for other in self.alleles]
        empty = [] if self.inheritance is Inheritance.AUTOSOMAL else [(None, None)]
        return tuple(dict.fromkeys(self.shown(pair) for pair in [*pairs, *empty]))


@dataclass(frozen=True, slots=True)
class Carried:
    """The two alleles of a parent at a locus; for a sex-linked locus of a male, on his X and on his Y."""

    first: str | None
    second: str | None


def carried(locus: Locus, sex: Sex, alleles: Sequence[str]) -> Carried:
    """Read the alleles a parent carries at a locus.

    Parameters
    ----------
    locus : Locus
        Where.
    sex : Sex
        Of the parent.
    alleles : Sequence[str]
        Two on an autosome. On the X: two of a female, one of a male. On the Y: one of a male and
        none of a female. Two of a male at a sex-linked locus are the one on his X, then his Y.

    Raises
    ------
    Problem
        If an allele is not one of the locus, or their number is wrong.
    """
    unknown = next((allele for allele in alleles if allele not in locus.alleles), None)
    if unknown is not None:
        raise Problem(
            f"{unknown!r} is no allele of {locus.name}; known: {', '.join(locus.alleles)}", locus.name
        )
    allowed = _allowed(locus.inheritance, sex)
    if len(alleles) not in allowed:
        wanted = " or ".join(str(number) for number in allowed)
        raise Problem(f"{len(alleles)} alleles; a {sex} has {wanted} at {locus.name}", locus.name)
    if len(alleles) == 2:
        return Carried(alleles[0], alleles[1])
    if not alleles:
        return Carried(None, None)
    return Carried(alleles[0], None) if locus.inheritance is Inheritance.X else Carried(None, alleles[0])


def _allowed(inheritance: Inheritance, sex: Sex) -> tuple[int, ...]:
    if inheritance is Inheritance.AUTOSOMAL:
        return (2,)
    if sex is Sex.MALE:
        return (1, 2)
    return (2,) if inheritance is Inheritance.X else (0, 2)


def written_alleles(text: str, locus: Locus) -> tuple[str, ...]:
    """Split a genotype written as ``B/b`` or ``Bb`` into its alleles.

    Parameters
    ----------
    text : str
        With a stroke, or run together where that can be read one way only.
    locus : Locus
        Whose alleles they are.

    Raises
    ------
    Problem
        If it cannot be read, or be read in two ways.
    """
    if "/" in text:
        return tuple(part.strip() for part in text.split("/"))
    plain = text.strip()
    ways = [(one,) for one in locus.alleles if one == plain]
    pairs = [(one, other) for one in locus.alleles for other in locus.alleles if one + other == plain]
    found: list[tuple[str, ...]] = [*ways, *pairs]
    if len(found) != 1:
        example = "/".join((locus.alleles * 2)[:2])
        raise Problem(f"{text!r} cannot be read; write it as {example}", locus.name)
    return found[0]
