"""How long the pages of sixty tanks take after ten years of broods and water."""

from collections.abc import Callable
from datetime import timedelta
from time import process_time

import pytest

from app.queries.almanac import almanac_page
from app.queries.batches import batches_page
from app.queries.broods import broods_page
from app.queries.fish import Filter, fish_list
from app.queries.hindcast import hindcast_page
from app.queries.lines import line_page
from app.queries.rounds import rounds_page
from app.queries.tank_list import tank_list
from app.store.actor import Actor
from app.store.batches import Batch, Count
from app.store.broods import Brood
from app.store.carryings import Basis, Carrying, Outcome
from app.store.fish import Fish
from app.store.forecasts import Forecast, ForecastKind
from app.store.readings import Quantity, ReadingDay
from app.store.session import RoomSession
from app.store.stays import Stay
from app.store.waters import Poured, WaterChange, WaterMove
from tests.factories import Made

pytestmark = pytest.mark.bench

TANKS, WAITS, EVERY = 60, 120, 30
"""Each tank's dam drops every thirty days for ten years."""
LIMIT_S = {"hindcast": 1.2}
USUAL_S = 0.5
"""Seconds of the server's own time; about three times what was measured, for a slower machine."""


def decade(session: RoomSession, keeper: Actor, made: Made) -> int:
    """Fill sixty tanks with a dam each, her drops of ten years, their fry and the tank's water."""
    line, tap = made.line(), made.water("tap", gh_dh=8.0)
    for _ in range(TANKS):
        section = made.section()
        dam = made.dam(line, section, arrived_on=made.days_ago(EVERY * (WAITS + 1)))
        for wait in range(1, WAITS + 1):
            _drop(session, keeper, made, dam, section.id, wait)
            _water(session, keeper, section.tank_id, tap.id, wait)
    session.commit()
    return line.id


def _drop(session: RoomSession, keeper: Actor, made: Made, dam: Fish, section_id: int, wait: int) -> None:
    room, day = keeper.fishroom_id, made.days_ago(EVERY * wait)
    began, gone = day - timedelta(days=EVERY), day + timedelta(days=90)
    open_ = gone > keeper.today
    brood = Brood(
        fishroom_id=room, dam_id=dam.id, line_id=dam.line_id, code=f"{dam.code}-{wait}",
        dropped_from=day, dropped_to=day, live=20,
    )  # fmt: skip
    session.add(brood)
    session.flush()
    carrying = Carrying(
        fishroom_id=room, dam_id=dam.id, basis=Basis.LAST_DROP, started_on=began, started_until=began,
        brood_id=brood.id, outcome=Outcome.DROPPED, ended_on=day,
    )  # fmt: skip
    batch = Batch(
        fishroom_id=room, line_id=dam.line_id, brood_id=brood.id, code=brood.code, born_from=day,
        born_to=day, started_on=day, start_count=20, closed_on=None if open_ else gone, logged_at=keeper.now,
    )  # fmt: skip
    session.add_all([carrying, batch])
    session.flush()
    until = None if open_ else gone
    session.add_all(
        [
            Stay(fishroom_id=room, section_id=section_id, batch_id=batch.id, from_on=day, to_on=until),
            Count(
                fishroom_id=room, batch_id=batch.id, counted_on=min(day + timedelta(days=9), keeper.today),
                alive=18 if open_ else 0, logged_at=keeper.now,
            ),
            Forecast(
                fishroom_id=room, kind=ForecastKind.BIRTH, carrying_id=carrying.id, issued_on=began,
                issued_at=keeper.now, median=day, from_80=day, to_80=day, naive=day, probability=0.9,
                detail={"cdf": [[f"{began + timedelta(days=n)}", n / 40] for n in range(10, 41)]},
                digest="", model_version="bench",
            ),
        ]
    )  # fmt: skip


def _water(session: RoomSession, keeper: Actor, tank_id: int, tap: int, wait: int) -> None:
    room, at = keeper.fishroom_id, keeper.now - timedelta(days=EVERY * wait - 5)
    change = WaterChange(fishroom_id=room, tank_id=tank_id, done_at=at, kind=WaterMove.CHANGE, litres=15.0)
    session.add(change)
    session.flush()
    session.add(Poured(fishroom_id=room, change_id=change.id, source_id=tap, litres=15.0))
    session.add(
        ReadingDay(
            fishroom_id=room, tank_id=tank_id, quantity=Quantity.TEMPERATURE, day=keeper.day(at),
            low=24.0, high=25.0, mean=24.5, number=1,
        )
    )  # fmt: skip


def seconds(session: RoomSession, look: Callable[[], object]) -> float:
    """Return the best of two, each from a session that remembers nothing."""
    times = []
    for _ in range(2):
        session.expunge_all()
        began = process_time()
        look()
        times.append(process_time() - began)
    return min(times)


def test_pages_of_sixty_tanks_open_quickly_after_ten_years(
    session: RoomSession, keeper: Actor, made: Made, capsys: pytest.CaptureFixture[str]
) -> None:
    line_id = decade(session, keeper, made)
    session.connection().exec_driver_sql("ANALYZE")
    looks: dict[str, Callable[[], object]] = {
        "rounds": lambda: rounds_page(session, keeper),
        "almanac": lambda: almanac_page(session, keeper),
        "tanks": lambda: tank_list(session, keeper),
        "line": lambda: line_page(session, keeper, line_id),
        "broodstock": lambda: fish_list(session, keeper, Filter()),
        "batches": lambda: batches_page(session, keeper),
        "broods": lambda: broods_page(session, keeper),
        "hindcast": lambda: hindcast_page(session, keeper),
    }
    found = {name: seconds(session, look) for name, look in looks.items()}
    with capsys.disabled():
        print(*(f"{name:12} {1e3 * took:7.0f} ms" for name, took in found.items()), sep="\n")  # noqa: T201
    assert {name: took for name, took in found.items() if took > LIMIT_S.get(name, USUAL_S)} == {}
