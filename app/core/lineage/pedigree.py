"""Who is whose parent, sorted so that parents stand before their young; loops are refused by name."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from app.core.problems import Problem

Places = npt.NDArray[np.int64]
UNKNOWN = -1


@dataclass(frozen=True, slots=True)
class Animal:
    """One fish and its parents, None where unknown; ``sex`` is ``male``, ``female`` or None."""

    id: str
    sire: str | None = None
    dam: str | None = None
    sex: str | None = None


@dataclass(frozen=True, slots=True)
class Pedigree:
    """Animals by place, parents before young.

    ``generation`` is the longest path up to a founder; places are sorted by it. ``sire`` and
    ``dam`` hold places, -1 where unknown.
    """

    ids: tuple[str, ...]
    place: Mapping[str, int]
    sire: Places
    dam: Places
    generation: Places

    def at(self, animal: str, field: str = "pairs") -> int:
        """Return the place of ``animal``; a Problem if it is not in the pedigree."""
        if animal not in self.place:
            raise Problem(f"{animal!r} is not in the pedigree; add it or correct the name", field)
        return self.place[animal]


def pedigree(animals: Iterable[Animal]) -> Pedigree:
    """Sort animals into a pedigree; parents without an entry of their own become founders.

    Parameters
    ----------
    animals : Iterable[Animal]
        In any order.

    Raises
    ------
    Problem
        If an animal is given twice, is its own ancestor, or is a parent of the other sex.
    """
    rows = list(animals)
    place = _places(rows)
    parents = [(UNKNOWN, UNKNOWN)] * len(place)
    for row in rows:
        parents[place[row.id]] = (place[row.sire] if row.sire else -1, place[row.dam] if row.dam else -1)
    _check_sexes(rows)
    ids = tuple(place)
    generation = np.array(_generations(parents, ids), dtype=np.int64)
    order = np.argsort(generation, kind="stable")
    new_place = np.empty(len(ids) + 1, dtype=np.int64)
    new_place[order], new_place[-1] = np.arange(len(ids)), UNKNOWN
    links = new_place[np.array(parents, dtype=np.int64).reshape(-1, 2)[order]]
    sorted_ids = tuple(ids[old] for old in order)
    return Pedigree(
        sorted_ids,
        {name: at for at, name in enumerate(sorted_ids)},
        links[:, 0].copy(),
        links[:, 1].copy(),
        generation[order],
    )


def _places(rows: Sequence[Animal]) -> dict[str, int]:
    place: dict[str, int] = {}
    for row in rows:
        if row.id in place:
            raise Problem(f"{row.id!r} is given twice; give each animal once", "pedigree")
        place[row.id] = len(place)
    for row in rows:
        for parent in (row.sire, row.dam):
            if parent:
                place.setdefault(parent, len(place))
    return place


def _check_sexes(rows: Sequence[Animal]) -> None:
    sex = {row.id: row.sex for row in rows if row.sex}
    for row in rows:
        if row.sire and sex.get(row.sire) == "female":
            raise Problem(f"{row.sire!r} is a female and cannot be the sire of {row.id!r}", "pedigree")
        if row.dam and sex.get(row.dam) == "male":
            raise Problem(f"{row.dam!r} is a male and cannot be the dam of {row.id!r}", "pedigree")


def _generations(parents: Sequence[tuple[int, int]], ids: Sequence[str]) -> list[int]:
    """Return for each animal the longest path up to a founder (Kahn's order)."""
    young: list[list[int]] = [[] for _ in parents]
    waiting = [0] * len(parents)
    for child, pair in enumerate(parents):
        for parent in pair:
            if parent != UNKNOWN:
                young[parent].append(child)
                waiting[child] += 1
    generation = [0] * len(parents)
    ready = [child for child, missing in enumerate(waiting) if missing == 0]
    for parent in ready:  # grows while it is walked
        for child in young[parent]:
            generation[child] = max(generation[child], generation[parent] + 1)
            waiting[child] -= 1
            if waiting[child] == 0:
                ready.append(child)
    if len(ready) < len(parents):
        _refuse_loop(parents, waiting, ids)
    return generation


def _refuse_loop(parents: Sequence[tuple[int, int]], waiting: Sequence[int], ids: Sequence[str]) -> None:
    """Walk up among the animals that never became ready until one comes again; name the round."""
    path = [next(child for child, missing in enumerate(waiting) if missing)]
    seen = {path[0]: 0}
    while True:
        above = next(parent for parent in parents[path[-1]] if parent != UNKNOWN and waiting[parent])
        if above in seen:
            names = [repr(ids[at]) for at in [*path[seen[above] :], above]]
            break
        seen[above] = len(path)
        path.append(above)
    shown = names if len(names) <= 12 else [*names[:6], "…", *names[-5:]]
    raise Problem(
        f"a loop: {' ← '.join(shown)}, each the young of the next; correct one of these parents", "pedigree"
    )
