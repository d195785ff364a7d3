"""What a cross is expected to give: phenotypes and their fractions among sons, daughters and all."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from math import ceil, log, log1p, prod

from app.core.method import Method
from app.core.problems import Problem
from app.core.traits.loci import Carried, Inheritance, Locus, Sex

SON, DAUGHTER = Sex.MALE, Sex.FEMALE
Fractions = dict[str, float]
MOST_PHENOTYPES = 10_000

METHOD = Method(
    "traits",
    "Traits and expected ratios",
    (
        "Each parent passes on one of its two alleles at a locus, by chance.",
        "What sits on the X goes from a father to his daughters only; what sits on the Y to his sons only.",
        "Some alleles of the guppy change now and then between X and Y; that chance can be given.",
        "A count is tested by adding up all counts that are no likelier (exact), or by χ² when it is large.",
    ),
    (
        "fraction of a phenotype = Σ P(egg)·P(sperm) over the pairs that show it",
        "son: Y sperm carries the father's Y allele with 1 − r, his X allele with r",
        "χ² = Σ (seen − expected)² / expected",
    ),
    (
        "Mendel (1866); Fisher (1936), Annals of Science 1:115",
        "Schmidt (1920) and Winge (1922, 1927) for traits on the guppy's Y",
        "Khoo, Lim, Chan & Phang (1999), Zool. Sci. 16:431 and 629, for crossing over",
    ),
    "Loci are taken as independent of each other. Some platies have a W chromosome, which this leaves out.",
)


@dataclass(frozen=True, slots=True)
class Parents:
    """What sire and dam carry at one locus."""

    locus: Locus
    sire: Carried
    dam: Carried


@dataclass(frozen=True, slots=True)
class Expected:
    """Fractions by phenotype among sons, daughters and all, each adding up to 1."""

    sons: Mapping[str, float]
    daughters: Mapping[str, float]

    @property
    def all(self) -> Fractions:
        """Fractions among all young, half of them sons."""
        names = dict.fromkeys([*self.sons, *self.daughters])
        return {name: (self.sons.get(name, 0.0) + self.daughters.get(name, 0.0)) / 2 for name in names}


def expected(parents: Sequence[Parents]) -> Expected:
    """Reckon the expected fractions of a cross over one or more independent loci.

    A phenotype is named by what shows at each locus, in the order of the loci, with a space between.

    Parameters
    ----------
    parents : Sequence[Parents]
        One entry for each locus.

    Raises
    ------
    Problem
        If there is no locus, one is named twice, or there are too many phenotypes.

    References
    ----------
    Mendel (1866); Winge (1922), J. Genet. 12:145, for sex linkage in the guppy.
    """
    names = [one.locus.name for one in parents]
    if not names or len(set(names)) != len(names):
        raise Problem("give one or more loci, each named once", "loci")
    if prod(len(one.locus.all_shown()) for one in parents) > MOST_PHENOTYPES:
        raise Problem("more phenotypes than can be told apart; give fewer loci", "loci")
    sons, daughters = (_joint([_at_locus(one, sex) for one in parents]) for sex in (SON, DAUGHTER))
    return Expected(sons, daughters)


def phenotypes(loci: Iterable[Locus]) -> tuple[str, ...]:
    """Every phenotype these loci could show, whatever the parents.

    Parameters
    ----------
    loci : Iterable[Locus]
        In the order of the names' parts.
    """
    return tuple(" ".join(parts) for parts in product(*(locus.all_shown() for locus in loci)))


def brood_needed(fraction: float, certainty: float = 0.95) -> int:
    """Fry needed to see a phenotype at least once, ``⌈ln(1 − c) / ln(1 − p)⌉``.

    Parameters
    ----------
    fraction : float
        Expected, above 0.
    certainty : float
        Above 0 and below 1.

    Raises
    ------
    Problem
        If a value is outside its range.
    """
    if not 0 < fraction <= 1:
        raise Problem(f"{fraction:g} never shows; give a fraction above 0 and up to 1", "fraction")
    if not 0 < certainty < 1:
        raise Problem(f"{certainty:g} cannot be; give a certainty above 0 and below 1", "certainty")
    return 1 if fraction == 1 else ceil(log1p(-certainty) / log(1 - fraction) - 1e-12)


def _at_locus(parents: Parents, sex: Sex) -> Fractions:
    shown: Fractions = {}
    for (egg, chance), (sperm, other) in product(_eggs(parents.dam), _sperm(parents, sex)):
        name = parents.locus.shown((egg, sperm))
        shown[name] = shown.get(name, 0.0) + chance * other
    return {name: fraction for name, fraction in shown.items() if fraction > 0}


def _eggs(dam: Carried) -> tuple[tuple[str | None, float], ...]:
    return ((dam.first, 0.5), (dam.second, 0.5))


def _sperm(parents: Parents, sex: Sex) -> tuple[tuple[str | None, float], ...]:
    sire = parents.sire
    if parents.locus.inheritance is Inheritance.AUTOSOMAL:
        return ((sire.first, 0.5), (sire.second, 0.5))
    across = parents.locus.crossing_over
    stays, crosses = (sire.second, sire.first) if sex is SON else (sire.first, sire.second)
    return ((stays, 1.0 - across), (crosses, across))


def _joint(loci: Sequence[Fractions]) -> Fractions:
    joint: Fractions = {}
    for parts in product(*(locus.items() for locus in loci)):
        joint[" ".join(name for name, _ in parts)] = prod(fraction for _, fraction in parts)
    return joint
