"""How often two loci are passed on apart: from counts, and from published maps."""

from dataclasses import dataclass
from math import sqrt

from app.core.problems import Problem


@dataclass(frozen=True, slots=True)
class Linkage:
    """θ, the chance that both loci pass on unchanged on both sides, and the recombination it means."""

    theta: float
    recombination: float


@dataclass(frozen=True, slots=True)
class Distance:
    """A published map distance between two loci."""

    species: str
    one: str
    other: str
    centimorgans: float
    source: str

    @property
    def crossing_over(self) -> float:
        """The fraction that is passed on changed; at such short distances, cM / 100."""
        return self.centimorgans / 100.0


KHOO = "Khoo, Lim, Chan & Phang (1999), Zool. Sci. 16:431 and 629 (abstracts)"
SEX = "SdR"  # the sex-determining region

KNOWN = (
    Distance("guppy", SEX, "Rdt", 3.4, KHOO),
    Distance("guppy", SEX, "Bcp", 5.1, KHOO),
    Distance("guppy", "Rdt", "Bcp", 2.4, KHOO),
    Distance("guppy", SEX, "Var", 1.9, KHOO),
)


def linkage_from_young(both: int, first: int, second: int, neither: int) -> Linkage:
    """Most likely θ from young of two double heterozygotes, dominant at both loci, in coupling.

    Classes are expected as (2 + θ)/4, (1 − θ)/4, (1 − θ)/4 and θ/4; the maximum is the positive
    root of ``n·θ² − (a − 2b − 2c − d)·θ − 2d = 0``, and θ = (1 − r)².

    Parameters
    ----------
    both, first, second, neither : int
        Young that show both dominant traits, only one, only the other, none.

    Raises
    ------
    Problem
        If nothing was counted or a count is below zero.

    References
    ----------
    Rao (1965), Linear Statistical Inference; Dempster, Laird & Rubin (1977), J. R. Stat. Soc. B 39:1.
    """
    counts = (both, first, second, neither)
    total = sum(counts)
    if min(counts) < 0 or total == 0:
        raise Problem("give four counts of 0 or more, and at least one fish", "counts")
    slope = both - 2 * first - 2 * second - neither
    theta = (slope + sqrt(slope**2 + 8.0 * total * neither)) / (2.0 * total)
    return Linkage(theta, 1.0 - sqrt(theta))
