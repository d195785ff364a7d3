"""Makes pedigrees for tests: by generations, or with generations overlapping."""

import numpy as np

from app.core.lineage.pedigree import Animal


def by_generations(animals: int, generations: int, sires: int, dams: int, seed: int = 1) -> list[Animal]:
    """Return equal generations, each bred from so many random males and females of the one before."""
    rng = np.random.default_rng(seed)
    size = animals // generations
    half = size // 2
    rows = [Animal(f"0.{number}") for number in range(size)]
    for generation in range(1, generations):
        males = rng.choice(half, min(sires, half), replace=False)
        females = half + rng.choice(half, min(dams, half), replace=False)
        couples = zip(rng.choice(males, size), rng.choice(females, size), strict=True)
        rows += [
            Animal(f"{generation}.{number}", f"{generation - 1}.{sire}", f"{generation - 1}.{dam}")
            for number, (sire, dam) in enumerate(couples)
        ]
    return rows


def overlapping(animals: int, founders: int, seed: int = 1) -> list[Animal]:
    """Return animals whose parents may be any two before them, now and then unknown."""
    rng = np.random.default_rng(seed)
    rows = [Animal(str(number)) for number in range(founders)]
    for number in range(founders, animals):
        sire, dam = rng.choice(number, 2, replace=False)
        unknown = rng.random(2) < 0.05
        rows.append(Animal(str(number), None if unknown[0] else str(sire), None if unknown[1] else str(dam)))
    return rows
