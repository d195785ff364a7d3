"""Millions of readings: a year of five-minute data on twelve tanks opens and comes in quickly."""

import math
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from time import perf_counter

import pytest

from app.core.logger_files import Row
from app.queries.loggers import loggers_page
from app.queries.readings import last_readings, readings_page
from app.queries.rounds import rounds_page
from app.queries.tank_page import tank_page
from app.queries.water_page import water_page
from app.services import loggers
from app.services.logger_files import import_file
from app.services.loggers import ONCE
from app.services.reading_days import settle_all
from app.services.undo import undo
from app.store.actor import Actor
from app.store.bulk import add_new
from app.store.journal import Act
from app.store.readings import Logger, Quantity, Reading
from app.store.session import RoomSession, rows
from tests.factories import Made

pytestmark = pytest.mark.bench

TANKS, A_YEAR = 12, 105_120
OPENS_MS = 300.0
"""What a page of a year's readings may take."""
IMPORTED_S = 10.0


def milliseconds(look: Callable[[], object]) -> float:
    """Return the best of three."""
    times = []
    for _ in range(3):
        began = perf_counter()
        look()
        times.append(1e3 * (perf_counter() - began))
    return min(times)


def filled(session: RoomSession, keeper: Actor, made: Made) -> int:
    """Fill twelve tanks with a year each and return the number of the first."""
    loggers.add_logger(session, keeper, name="Probe")
    (logger,) = rows(session, Logger)
    tanks = [made.tank().id for _ in range(TANKS)]
    whose = {
        "fishroom_id": keeper.fishroom_id,
        "logger_id": logger.id,
        "quantity": Quantity.TEMPERATURE,
    }
    for tank_id in tanks:
        year = [
            {
                **whose,
                "tank_id": tank_id,
                "taken_at": keeper.now - timedelta(minutes=5 * n),
                "value": 25 + math.sin(n / 144),
            }
            for n in range(A_YEAR)
        ]
        add_new(session, Reading, year, ONCE)
    settle_all(session, keeper)
    session.commit()
    return tanks[0]


def test_pages_open_quickly_over_more_than_a_million_readings(
    session: RoomSession, keeper: Actor, made: Made, capsys: pytest.CaptureFixture[str]
) -> None:
    tank_id = filled(session, keeper, made)
    looks: dict[str, Callable[[], object]] = {
        "last readings of all tanks": lambda: last_readings(session, keeper),
        "tank page, two days": lambda: tank_page(session, keeper, tank_id, span="hours"),
        "tank page, a year": lambda: tank_page(session, keeper, tank_id, span="year"),
        "water page, a year": lambda: water_page(session, keeper, tank_id, span="year"),
        "first readings of the list": lambda: readings_page(session, keeper, tank_id),
        "rounds": lambda: rounds_page(session, keeper),
    }
    found = {name: milliseconds(look) for name, look in looks.items()}
    found["loggers, counted"] = milliseconds(lambda: loggers_page(session, keeper))
    began = perf_counter()
    settle_all(session, replace(keeper, zone="America/Chicago"))
    with capsys.disabled():
        print(f"\n{TANKS * A_YEAR:,} readings")  # noqa: T201 (a bench shows its numbers)
        print(*(f"{name:30} {took:8.1f} ms" for name, took in found.items()), sep="\n")  # noqa: T201
        print(f"all days added up again        {perf_counter() - began:8.1f} s")  # noqa: T201
    counted = found.pop("loggers, counted")
    assert counted < 10 * OPENS_MS
    assert {name: took for name, took in found.items() if took > OPENS_MS} == {}


def test_a_year_is_imported_and_taken_back_within_seconds(
    session: RoomSession, keeper: Actor, made: Made, capsys: pytest.CaptureFixture[str]
) -> None:
    tank = made.tank()
    first = keeper.now - timedelta(minutes=5 * A_YEAR)
    year = [Row(n, first + timedelta(minutes=5 * n), 25.0) for n in range(A_YEAR)]
    began = perf_counter()
    import_file(session, keeper, tank.id, name="year.csv", text="a year", read=year)
    imported = perf_counter() - began
    began = perf_counter()
    undo(session, keeper, rows(session, Act)[-1].id)
    undone = perf_counter() - began
    with capsys.disabled():
        print(f"\n{A_YEAR:,} rows imported in {imported:.1f} s, taken back in {undone:.1f} s")  # noqa: T201
    assert rows(session, Reading) == []
    assert max(imported, undone) < IMPORTED_S
