"""Wright's inbreeding coefficient for every animal, generation by generation, holding only living parents.

The kinship matrix is kept among those animals that still have young to come. An animal's own F
is the kinship of its parents, and the parents' young enter by the mean of their parents' rows.
With a bounded number of breeding animals at a time the work is linear in the pedigree. The matrix
is sparse while most pairs are unrelated. Where it would not fit in memory, the rest is traced
animal by animal after Meuwissen & Luo (1992).
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from app.core.lineage.pedigree import Pedigree, Places
from app.core.lineage.tracing import kinship_at, mendelian_variance, trace

Floats = npt.NDArray[np.float64]

ROWS = 256  # rows gathered at a time, so that a block stays in the processor's cache
ALWAYS_DENSE = 600  # below so many animals a full matrix is quicker than a sparse one
MOST_DENSE = 9_000  # animals in a full matrix: 650 MB
MOST_ENTRIES = 60_000_000  # entries in a sparse matrix: 720 MB
DENSE_ENOUGH = 0.08


@dataclass(slots=True)
class _Herd:
    """The animals with young to come, and the kinship among them (dense, or sparse in CSR form).

    The dense matrix ends with a row and a column of zeros, which stand for an unknown parent.
    """

    places: Places
    dense: Floats | None
    sparse: Any = None  # scipy's sparse matrices are not typed


def coefficients(pedigree: Pedigree) -> Floats:
    """Inbreeding coefficient of every animal, by place.

    ``F_i = kinship(sire, dam)``; 0 where a parent is unknown.

    Parameters
    ----------
    pedigree : Pedigree
        Sorted, parents before young.

    References
    ----------
    Wright (1922), Am. Nat. 56:330; Meuwissen & Luo (1992), Genet. Sel. Evol. 24:305.
    """
    inbreeding = np.zeros(len(pedigree.ids))
    if not len(pedigree.ids):
        return inbreeding
    last_use = _last_use(pedigree)
    starts = np.searchsorted(pedigree.generation, np.arange(int(pedigree.generation[-1]) + 2))
    herd = _founders(np.flatnonzero((pedigree.generation == 0) & (last_use > 0)))
    for generation in range(1, len(starts) - 1):
        members = np.arange(starts[generation], starts[generation + 1])
        sires, dams = _within(herd, pedigree, members)
        inbreeding[members] = _pairs(herd, sires, dams)
        keep, new = last_use[herd.places] > generation, last_use[members] > generation
        if not _fits(herd, int(keep.sum()), int(new.sum())):
            _trace_the_rest(pedigree, inbreeding, int(starts[generation + 1]))
            return inbreeding
        parents = (sires[new], dams[new])
        herd = _next_herd(herd, np.flatnonzero(keep), members[new], parents, inbreeding)
    return inbreeding


def _last_use(pedigree: Pedigree) -> Places:
    """Return for each animal the generation of its last young, 0 without any."""
    last = np.zeros(len(pedigree.ids), dtype=np.int64)
    for parents in (pedigree.sire, pedigree.dam):
        known = parents >= 0
        np.maximum.at(last, parents[known], pedigree.generation[known])
    return last


def _founders(places: Places) -> _Herd:
    if len(places) <= ALWAYS_DENSE:
        return _Herd(places, np.diag(np.r_[np.full(len(places), 0.5), 0.0]))
    from scipy import sparse  # noqa: PLC0415 (a third of a second; small pedigrees never need it)

    return _Herd(places, None, sparse.csr_matrix(sparse.diags(np.full(len(places), 0.5))))


def _within(herd: _Herd, pedigree: Pedigree, members: Places) -> tuple[Places, Places]:
    """Return the members' parents as positions in the herd; the position after its last is unknown."""
    position = np.full(len(pedigree.ids) + 1, len(herd.places), dtype=np.int64)
    position[herd.places] = np.arange(len(herd.places))
    return position[pedigree.sire[members]], position[pedigree.dam[members]]


def _pairs(herd: _Herd, sires: Places, dams: Places) -> Floats:
    if herd.dense is not None:
        return herd.dense[sires, dams]
    known = (sires < len(herd.places)) & (dams < len(herd.places))
    kinship = np.zeros(len(sires))
    kinship[known] = np.asarray(herd.sparse[sires[known], dams[known]]).ravel()
    return kinship


def _fits(herd: _Herd, kept: int, new: int) -> bool:
    if kept + new <= MOST_DENSE:
        return True
    if herd.dense is not None:
        return False
    per_row = herd.sparse.nnz / max(1, len(herd.places))
    return bool(per_row * (kept + 8 * new) <= MOST_ENTRIES)  # two parents: twice the row, both ways


def _next_herd(
    herd: _Herd, keep: Places, new: Places, parents: tuple[Places, Places], inbreeding: Floats
) -> _Herd:
    places = np.r_[herd.places[keep], new]
    if herd.dense is None and _worth_dense(herd, len(places)):
        full = np.zeros((len(herd.places) + 1,) * 2)
        full[:-1, :-1] = herd.sparse.toarray()
        herd = _Herd(herd.places, full)
    diagonal = 0.5 * (1.0 + inbreeding[new])
    if herd.dense is not None:
        return _Herd(places, _grown(herd.dense, keep, parents, diagonal))
    return _Herd(places, None, _grown_sparse(herd, keep, parents, diagonal))


def _worth_dense(herd: _Herd, next_size: int) -> bool:
    size = len(herd.places)
    if max(size, next_size) > MOST_DENSE:
        return False
    return next_size <= ALWAYS_DENSE or herd.sparse.nnz > DENSE_ENOUGH * size * size


def _grown(old: Floats, keep: Places, parents: tuple[Places, Places], diagonal: Floats) -> Floats:
    """Return the kinship of those kept and of the new, whose rows are the mean of their parents'."""
    sires, dams = parents
    kept, size = len(keep), len(keep) + len(sires)
    grown = np.zeros((size + 1, size + 1))
    grown[:kept, :kept] = old[np.ix_(keep, keep)]
    for start in range(0, len(sires), ROWS):
        rows = slice(start, start + ROWS)
        half = old[sires[rows]]
        half += old[dams[rows]]
        half *= 0.5
        to = slice(kept + start, kept + start + len(half))
        grown[to, :kept] = half[:, keep]
        block = np.take(half, sires, axis=1)
        block += np.take(half, dams, axis=1)
        np.multiply(block, 0.5, out=grown[to, kept:size])
    grown[:kept, kept:size] = grown[kept:size, :kept].T
    own = np.arange(kept, size)
    grown[own, own] = diagonal
    return grown


def _grown_sparse(herd: _Herd, keep: Places, parents: tuple[Places, Places], diagonal: Floats) -> Any:  # noqa: ANN401
    from scipy import sparse  # noqa: PLC0415

    old, size = herd.sparse, len(herd.places)
    rows = np.tile(np.arange(len(diagonal)), 2)
    columns = np.r_[parents[0], parents[1]]
    known = columns < size
    halves = np.full(int(known.sum()), 0.5)
    down = sparse.csr_matrix((halves, (rows[known], columns[known])), shape=(len(diagonal), size))
    half = down @ old
    young = half @ down.T
    young = young + sparse.diags(diagonal - young.diagonal())
    across = half[:, keep]
    return sparse.bmat([[old[keep][:, keep], across.T], [across, young]], format="csr")


def _trace_the_rest(pedigree: Pedigree, inbreeding: Floats, start: int) -> None:
    """Fill in F from place ``start`` on, couple by couple."""
    variance = np.zeros(len(pedigree.ids))
    variance[:start] = mendelian_variance(pedigree, inbreeding, 0, start)
    done: dict[tuple[int, int], float] = {}
    for place in range(start, len(pedigree.ids)):
        sire, dam = int(pedigree.sire[place]), int(pedigree.dam[place])
        if sire >= 0 and dam >= 0:
            if (sire, dam) not in done:
                done[sire, dam] = kinship_at(trace(pedigree, sire), trace(pedigree, dam), variance)
            inbreeding[place] = done[sire, dam]
        variance[place] = mendelian_variance(pedigree, inbreeding, place, place + 1)[0]
