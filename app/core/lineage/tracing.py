"""Kinship of two animals by tracing each one's share in its ancestors."""

from collections.abc import Mapping
from heapq import heappop, heappush

import numpy as np
import numpy.typing as npt

from app.core.lineage.pedigree import Pedigree

Floats = npt.NDArray[np.float64]


def trace(pedigree: Pedigree, place: int) -> dict[int, float]:
    """Find the share of an animal's genes that passed through each ancestor (itself 1, a parent ½, …).

    Parameters
    ----------
    pedigree : Pedigree
        Sorted, parents before young.
    place : int
        Of the animal.

    References
    ----------
    Meuwissen & Luo (1992), Genet. Sel. Evol. 24:305: a row of L in A = L D L'.
    """
    shares = {place: 1.0}
    waiting = [-place]
    while waiting:
        at = -heappop(waiting)
        half = 0.5 * shares[at]
        for parent in (int(pedigree.sire[at]), int(pedigree.dam[at])):
            if parent < 0:
                continue
            if parent not in shares:
                shares[parent] = 0.0
                heappush(waiting, -parent)
            shares[parent] += half
    return shares


def mendelian_variance(pedigree: Pedigree, inbreeding: Floats, start: int, stop: int) -> Floats:
    """Within-family variance D of each animal, ``½ − ¼(F_s + F_d)`` with F = −1 for an unknown parent.

    Parameters
    ----------
    pedigree : Pedigree
        Sorted, parents before young.
    inbreeding : array
        F by place, known for the parents of those asked for.
    start, stop : int
        The places asked for.

    References
    ----------
    Meuwissen & Luo (1992), Genet. Sel. Evol. 24:305.
    """
    padded = np.append(inbreeding, -1.0)
    both = padded[pedigree.sire[start:stop]] + padded[pedigree.dam[start:stop]]
    return np.asarray(0.5 - 0.25 * both)


def kinship_at(one: Mapping[int, float], other: Mapping[int, float], variance: Floats) -> float:
    """Kinship of two traced animals, ``½ Σ_k L_ik L_jk D_k``.

    Parameters
    ----------
    one, other : Mapping[int, float]
        From :func:`trace`.
    variance : array
        D by place.

    References
    ----------
    Meuwissen & Luo (1992), Genet. Sel. Evol. 24:305.
    """
    fewer, more = (one, other) if len(one) <= len(other) else (other, one)
    return 0.5 * sum(share * more[at] * float(variance[at]) for at, share in fewer.items() if at in more)
