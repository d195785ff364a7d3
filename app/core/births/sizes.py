"""How many fry a drop brings, by the dam's length, her brood number and her own record."""

from dataclasses import dataclass
from math import exp, log

from app.core.births.evidence import BirthEvidence
from app.core.species import Species

LENGTH_EXPONENT = 4.0  # 3.7 to 4.0 on length over life (Reznick et al. 2004)
LN_SD = 0.5  # given length; guppy 0.41 to 0.64 (Reznick & Bryga 1996; Reznick et al. 2004)
ADULT_SHARE = 0.84  # of final length, where the adult median belongs: 37 of 44 mm in guppies
FULL_BROOD = 7  # broods grow about evenly up to the seventh (guppy records)
FIRST_SHARE = 0.3  # of the adult median where the first brood is unknown; judgement
_OWN_SHARE = 0.5  # of the variance lies between dams; judgement
_Z80 = 1.2815515655446004


@dataclass(frozen=True, slots=True)
class BroodSize:
    """Fry of one drop: median and the 10 % and 90 % points."""

    median: float
    p10: float
    p90: float


def by_number(species: Species, number: int) -> float:
    """Return the median brood of that number: even steps from the first brood to the seventh."""
    first = species.first_brood_median or FIRST_SHARE * species.brood_median
    return first + (species.brood_median - first) * min(number - 1, FULL_BROOD - 1) / (FULL_BROOD - 1)


def by_length(species: Species, length_mm: float) -> float:
    """Return the median brood at a total length: brood_median * (L / 0.84 Linf) ** 4."""
    return float(species.brood_median * (length_mm / (ADULT_SHARE * species.linf_f_mm)) ** LENGTH_EXPONENT)


def brood_size(told: BirthEvidence) -> BroodSize:
    """Forecast the fry of the coming drop: log-normal, pooled with the dam's own broods.

    ln N ~ N(ln median + own, 0.5²); ``own`` is the mean log ratio of her broods to their medians,
    shrunk by n / (n + 1). Without length, number or record the table's 10 and 90 % points stand.

    References
    ----------
    Reznick & Bryga (1996), Am. Nat. 147:339; Reznick et al. (2004), Nature 431:1095 (guppies).
    """
    own, n = _own(told)
    medians = [f for f in (_number_median(told), _length_median(told)) if f is not None]
    if not medians and not n:
        sp = told.species
        return BroodSize(sp.brood_median, sp.brood_p10, sp.brood_p90)
    centre = sum(log(m) for m in medians) / len(medians) if medians else log(told.species.brood_median)
    spread = LN_SD * (1 - _OWN_SHARE * n / (n + 1)) ** 0.5 * (1.0 if medians else 1.1)
    return BroodSize(exp(centre + own), exp(centre + own - _Z80 * spread), exp(centre + own + _Z80 * spread))


def _number_median(told: BirthEvidence) -> float | None:
    return None if told.brood_number is None else by_number(told.species, told.brood_number)


def _length_median(told: BirthEvidence) -> float | None:
    return None if told.dam_length_mm is None else by_length(told.species, told.dam_length_mm)


def _own(told: BirthEvidence) -> tuple[float, int]:
    """Return her shrunken log ratio, and on how many broods it rests."""
    n = len(told.own_brood_sizes)
    if not n:
        return 0.0, 0
    first = told.brood_number - n if told.brood_number else FULL_BROOD
    ratios = (
        log(max(size, 0.5) / by_number(told.species, max(first + index, 1)))
        for index, size in enumerate(told.own_brood_sizes)
    )
    return sum(ratios) / (n + 1), n
