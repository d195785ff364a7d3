"""The textbook's tabular method on a full matrix: slow, memory-hungry, and easy to check."""

import numpy as np
import numpy.typing as npt

from app.core.lineage.pedigree import Pedigree


def relationship(pedigree: Pedigree) -> npt.NDArray[np.float64]:
    """Return the numerator relationship matrix A, by place (Falconer & Mackay 1996, ch. 5)."""
    size = len(pedigree.ids)
    table = np.zeros((size + 1, size + 1))  # the last row and column stand for an unknown parent
    for place in range(size):
        sire, dam = pedigree.sire[place], pedigree.dam[place]
        row = 0.5 * (table[sire, :place] + table[dam, :place])
        table[place, :place] = row
        table[:place, place] = row
        table[place, place] = 1.0 + (0.5 * table[sire, dam] if sire >= 0 and dam >= 0 else 0.0)
    return table[:-1, :-1]
