"""Inbreeding and kinship of the animals of a pedigree, by name."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from app.core.lineage.inbreeding import coefficients
from app.core.lineage.pedigree import Animal, Pedigree, pedigree
from app.core.lineage.tracing import kinship_at, mendelian_variance, trace
from app.core.method import Method

METHOD = Method(
    "kinship",
    "Kinship and inbreeding",
    (
        "Kinship is the chance that a gene drawn from each of two fish comes from one ancestor.",
        "The inbreeding of a brood is the kinship of its parents: a quarter for siblings.",
        "Parents that are not known count as unrelated founders, so the figures are lower bounds.",
    ),
    (
        "F(X) = θ(sire, dam);  θ(X, X) = ½(1 + F(X));  θ(X, Y) = ½(θ(sire, Y) + θ(dam, Y))",
        "Ne = 4·Nm·Nf / (Nm + Nf),  ΔF = 1 / (2·Ne)",
    ),
    (
        "Wright (1922), Am. Nat. 56:330",
        "Meuwissen & Luo (1992), Genet. Sel. Evol. 24:305",
        "Falconer & Mackay (1996), Introduction to Quantitative Genetics, ch. 4 and 5",
    ),
    "Siblings housed together mate before anyone can tell them apart: split in time.",
)


@dataclass(frozen=True, slots=True)
class Relations:
    """A pedigree with every animal's inbreeding reckoned; kinship on demand."""

    pedigree: Pedigree
    coefficients: npt.NDArray[np.float64]
    variance: npt.NDArray[np.float64]
    _traced: dict[int, Mapping[int, float]] = field(default_factory=dict, repr=False, compare=False)

    def inbreeding(self, animal: str) -> float:
        """Return Wright's F of ``animal``."""
        return float(self.coefficients[self.pedigree.at(animal)])

    def all_inbreeding(self) -> dict[str, float]:
        """Return F of every animal by id."""
        return dict(zip(self.pedigree.ids, self.coefficients.tolist(), strict=True))

    def kinship(self, one: str, other: str) -> float:
        """Return the kinship of two animals, which is the inbreeding of their young."""
        traced = self._trace(self.pedigree.at(one)), self._trace(self.pedigree.at(other))
        return kinship_at(*traced, self.variance)

    def fraternity(self, one: str, other: str) -> float:
        """Return the chance that two animals share both genes of a pair (Lynch & Walsh 1998, ch. 7)."""
        (a, b), (c, d) = self._parents(one), self._parents(other)
        return self._maybe(a, c) * self._maybe(b, d) + self._maybe(a, d) * self._maybe(b, c)

    def _parents(self, animal: str) -> tuple[int, int]:
        at = self.pedigree.at(animal)
        return int(self.pedigree.sire[at]), int(self.pedigree.dam[at])

    def _maybe(self, one: int, other: int) -> float:
        if one < 0 or other < 0:
            return 0.0
        return kinship_at(self._trace(one), self._trace(other), self.variance)

    def _trace(self, place: int) -> Mapping[int, float]:
        if place not in self._traced:
            self._traced[place] = trace(self.pedigree, place)
        return self._traced[place]


def relations(animals: Iterable[Animal]) -> Relations:
    """Reckon the inbreeding of every animal of a pedigree.

    Parameters
    ----------
    animals : Iterable[Animal]
        In any order; unknown parents count as unrelated founders.

    Raises
    ------
    Problem
        If an animal is given twice or is its own ancestor.

    References
    ----------
    Wright (1922), Am. Nat. 56:330; Meuwissen & Luo (1992), Genet. Sel. Evol. 24:305.
    """
    sorted_pedigree = pedigree(animals)
    inbreeding = coefficients(sorted_pedigree)
    variance = mendelian_variance(sorted_pedigree, inbreeding, 0, len(inbreeding))
    return Relations(sorted_pedigree, inbreeding, variance)
