"""How long the queue of a large fishroom takes to plan."""

from datetime import date, timedelta

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from app.core.day_distribution import DayDistribution
from app.core.durations import project_lasts
from app.core.planning import Project, clashes, schedule
from app.core.species import SPECIES

pytestmark = pytest.mark.bench
MAY = date(2026, 5, 1)


def test_sixty_tanks_and_forty_projects(benchmark: BenchmarkFixture) -> None:
    lasts = project_lasts(SPECIES["guppy"], 25)
    tanks = tuple(f"T{n}" for n in range(60))
    free = {tank: DayDistribution(MAY + timedelta(days=3 * n), (0.05,) * 20) for n, tank in enumerate(tanks)}
    queue = [Project(str(n), tanks if n % 3 else tanks[n : n + 1], lasts) for n in range(40)]

    def plan() -> int:
        slots = schedule(queue, free, 3)
        return len(slots) + len(clashes(queue, free, slots))

    assert benchmark(plan) >= 40
