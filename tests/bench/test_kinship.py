"""Inbreeding side by side with the dense tabular method: crossover, growth of cost, a large pedigree."""

from collections.abc import Callable
from time import process_time

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from app.core.lineage.inbreeding import coefficients
from app.core.lineage.pedigree import Animal, Pedigree, pedigree
from tests.core.lineage.herds import by_generations
from tests.core.lineage.tabular import relationship

pytestmark = pytest.mark.bench

SIZES = (50, 100, 200, 400, 800, 1_600, 3_200)
LARGE = (20_000, 80_000, 320_000)
GENERATIONS, SIRES, DAMS = 10, 5, 20


def ours(rows: Pedigree) -> list[float]:
    return list(coefficients(rows))


def tabular(rows: Pedigree) -> list[float]:
    return list(np.diagonal(relationship(rows)) - 1.0)


def seconds(reckon: Callable[[Pedigree], list[float]], rows: Pedigree) -> float:
    """Return the best of three, each repeated to at least 20 ms."""
    best = float("inf")
    for _ in range(3):
        started, turns = process_time(), 0
        while process_time() - started < 0.02:
            reckon(rows)
            turns += 1
        best = min(best, (process_time() - started) / turns)
    return best


def herd(animals: int) -> list[Animal]:
    return by_generations(animals, GENERATIONS, SIRES, DAMS)


@pytest.mark.parametrize("animals", [200, 1_600])
@pytest.mark.parametrize("way", [ours, tabular], ids=["by generations", "tabular"])
def test_side_by_side(
    benchmark: BenchmarkFixture, way: Callable[[Pedigree], list[float]], animals: int
) -> None:
    rows = pedigree(herd(animals))
    benchmark.group = f"inbreeding of {animals} animals"
    assert benchmark(way, rows) == pytest.approx(ours(rows), abs=1e-12)


def growth(sizes: tuple[int, ...], times: list[float]) -> float:
    """Return the exponent of the cost's growth."""
    return float(np.polyfit(np.log(sizes), np.log(times), 1)[0])


def test_crossover_and_growth_of_cost_are_printed(capsys: pytest.CaptureFixture[str]) -> None:
    rows = [pedigree(herd(animals)) for animals in SIZES]
    mine, theirs = ([seconds(way, one) for one in rows] for way in (ours, tabular))
    large = [seconds(ours, pedigree(herd(animals))) for animals in LARGE]
    crossover = next((n for n, a, b in zip(SIZES, mine, theirs, strict=True) if a < b), None)
    slopes = growth(LARGE, large), growth(SIZES[-3:], theirs[-3:])
    lines = [
        f"{n:7d} {1e3 * a:13.3f} ms {1e3 * b:9.3f} ms" for n, a, b in zip(SIZES, mine, theirs, strict=True)
    ]
    lines += [f"{n:7d} {1e3 * a:13.3f} ms" for n, a in zip(LARGE, large, strict=True)]
    lines += [f"cost grows as n^{slopes[0]:.2f} and n^{slopes[1]:.2f}; quicker from {crossover} animals on"]
    with capsys.disabled():
        print("\nanimals   by generations      tabular", *lines, sep="\n")  # noqa: T201
    assert slopes[0] < 1.2 < slopes[1]
    assert crossover is not None


@pytest.mark.parametrize(("sires", "dams"), [(50, 500), (2_500, 2_500)], ids=["few breeders", "all breed"])
def test_a_hundred_thousand_animals_take_seconds(benchmark: BenchmarkFixture, sires: int, dams: int) -> None:
    animals = by_generations(100_000, 20, sires, dams)
    benchmark.group = "100,000 animals over 20 generations, sorting included"
    found = benchmark(lambda: coefficients(pedigree(animals)))
    assert 0 < float(found.mean()) < 0.1
