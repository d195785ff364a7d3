"""How long a tank's water page takes after ten years of three events a week."""

from datetime import timedelta
from time import process_time

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from app.core.water.ledger import Held
from app.queries.ledger import tank_ledger
from app.queries.water_page import WaterPage, water_page
from app.store.actor import Actor
from app.store.readings import Quantity, Reading
from app.store.session import RoomSession
from app.store.waters import Dose, Poured, WaterChange, WaterMove
from tests.factories import Made

pytestmark = pytest.mark.bench

WEEKS = 520
MOST_S = 0.3


def test_ten_years_of_water_are_read_in_under_300_ms(
    benchmark: BenchmarkFixture, session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank_id = _decade(session, keeper, made)

    def opened() -> WaterPage:
        session.expunge_all()
        started = process_time()
        found = water_page(session, keeper, tank_id, span="all")
        spent.append(process_time() - started)
        return found

    spent: list[float] = []
    page = benchmark(opened)
    assert page.more
    assert page.charts
    level = tank_ledger(session, keeper, tank_id).level(Held.SALT, keeper.now)
    assert level == pytest.approx(1.0, rel=1e-6)  # 0.3 g/L a week against 30 % a week
    assert min(spent) < MOST_S


def _decade(session: RoomSession, keeper: Actor, made: Made) -> int:
    """Put a change, a dose and a test into every week."""
    tank, tap, salt = made.tank(litres=100), made.water("tap", gh_dh=8.0, kh_dh=4.0), made.substance()
    tank_id, room = tank.id, keeper.fishroom_id
    for week in range(WEEKS):
        at = keeper.now - timedelta(days=7 * week + 1)
        change = WaterChange(
            fishroom_id=room, tank_id=tank_id, done_at=at, kind=WaterMove.CHANGE, litres=30.0
        )
        session.add(change)
        session.flush()
        session.add(Poured(fishroom_id=room, change_id=change.id, source_id=tap.id, litres=30.0))
        session.add(Dose(fishroom_id=room, tank_id=tank_id, substance_id=salt.id, dosed_at=at, amount=30.0))
        session.add(Reading(fishroom_id=room, tank_id=tank_id, quantity=Quantity.GH, taken_at=at, value=8.0))
    session.flush()
    return tank_id
