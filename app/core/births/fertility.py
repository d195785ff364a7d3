"""The chance that a dam carries at all, and how stored sperm runs out."""

from math import exp

from app.core.births.evidence import Arrived, BirthEvidence, Exposed
from app.core.species import Species

WITH_MALES = 0.95  # a dam that dropped and is still with males carries again; judgement
ARRIVED = {True: 0.9, None: 0.6, False: 0.1}  # by "has been with males"; judgement
MATING_DAYS = 3.0  # mean wait until a willing male has mated her; judgement
AT_CAP = 0.1  # share of fertility left at the storage cap; judgement


def stored(species: Species, days_alone: float) -> float:
    """Return the fertility left after some days without males, as a share.

    0.1 ** (days / storage_days)²: 0.86 at a quarter of the cap, 0.56 at half, 0.1 at the cap, which
    is set shorter than the longest storage on record. 0 for species that store none.
    """
    if days_alone <= 0:
        return 1.0
    if not species.stores_sperm:
        return 0.0
    return float(AT_CAP ** ((days_alone / species.storage_days) ** 2))


def prior_chance(told: BirthEvidence) -> float:
    """Return the chance that she carries, before anything is made of the wait so far."""
    start, sp = told.start, told.species
    if isinstance(start, Arrived):
        claimed_alone = start.with_males is False and not sp.stores_sperm
        return 0.0 if told.virgin or claimed_alone else ARRIVED[start.with_males]
    if isinstance(start, Exposed):
        return WITH_MALES * mated(start)
    if told.males_until is None:
        return WITH_MALES
    return WITH_MALES * stored(sp, (start.latest - told.males_until).days)


def mated(exposed: Exposed) -> float:
    """Return the chance that an exposure led to a mating: 1 - exp(-days / 3), 1 while it goes on."""
    if exposed.end is None:
        return 1.0
    return 1 - exp(-((exposed.end - exposed.start).days + 1) / MATING_DAYS)
