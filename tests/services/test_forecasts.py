"""What was first shown is kept, and what is kept can be scored."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from app.core.stats.distributions import Table
from app.queries.hindcast import hindcast_page
from app.services.broods import correct_drop, log_drop
from app.services.forecasts import issue_missing, kept_rows
from app.services.undo import undo
from app.store.actor import Actor
from app.store.forecasts import Forecast
from app.store.journal import Act
from app.store.session import RoomSession, rows
from tests.factories import Made
from tests.web.test_rounds import waiting_dam

DAY = date(2026, 5, 1)


def cdf(*chances: float) -> tuple[tuple[date, float], ...]:
    return tuple((DAY + timedelta(i), p) for i, p in enumerate(chances))


def kept(session: RoomSession) -> list[tuple[str, date | None, date | None]]:
    """Return the start and the window of each forecast of a wait, first kept first."""
    found = rows(session, Forecast, order=(Forecast.id,))
    return [(one.detail["start"], one.from_80, one.to_80) for one in found if one.carrying_id is not None]


def test_days_without_a_chance_and_after_certainty_are_left_out() -> None:
    rows = kept_rows(cdf(0.0, 0.0004, 0.2, 0.7, 0.9991, 0.9996, 0.99999))
    assert [p for _, p in rows] == [0.2, 0.7, 0.9991, 0.9996]


def test_a_chance_that_leaps_to_certainty_keeps_the_day_that_ends_it() -> None:
    rows = kept_rows(cdf(0.0, 0.3, 0.99999, 1.0))
    assert [p for _, p in rows] == [0.3, 1.0]
    Table([date.fromisoformat(day).toordinal() for day, _ in rows], [p for _, p in rows])
    assert kept_rows(cdf(0.0001, 0.99999)) == [["2026-05-02", 1.0]]


def test_a_table_that_ends_before_certainty_is_kept_to_its_end() -> None:
    assert [p for _, p in kept_rows(cdf(0.1, 0.5, 0.999))] == [0.1, 0.5, 0.999]
    assert kept_rows(()) == []


@pytest.fixture
def corrected(session: RoomSession, keeper: Actor, made: Made) -> int:
    """Log a drop a week too late, show the next window, and correct the drop."""
    dam = waiting_dam(made, 60)
    issue_missing(session, keeper)
    drop = log_drop(session, keeper, dam_id=dam.id, dropped_from=made.days_ago(2), live=9)
    assert issue_missing(session, keeper) == 3, "the next wait, and sexing and readiness of the fry"
    correct_drop(session, keeper, drop.id, dropped_from=made.days_ago(9), live=9)
    return dam.id


def test_a_corrected_drop_is_followed_by_a_forecast_beside_the_first(
    session: RoomSession, keeper: Actor, corrected: int
) -> None:
    assert corrected
    first = kept(session)
    assert issue_missing(session, keeper) == 1
    again = kept(session)
    assert again[:-1] == first, "what was first shown stays"
    (old, early, _), (new, earlier, _) = again[-2:]
    assert old != new
    assert earlier is not None
    assert early is not None
    assert earlier < early
    assert issue_missing(session, keeper) == 0, "once is enough"


def test_numbers_corrected_alone_issue_nothing(session: RoomSession, keeper: Actor, made: Made) -> None:
    dam = waiting_dam(made, 60)
    drop = log_drop(session, keeper, dam_id=dam.id, dropped_from=made.days_ago(2), live=9)
    issue_missing(session, keeper)
    correct_drop(session, keeper, drop.id, dropped_from=made.days_ago(2), live=11)
    assert issue_missing(session, keeper) == 0


def test_a_correction_taken_back_is_followed_as_well(
    session: RoomSession, keeper: Actor, corrected: int
) -> None:
    assert corrected
    issue_missing(session, keeper)
    undo(session, keeper, rows(session, Act, order=(Act.id,))[-1].id)
    assert issue_missing(session, keeper) == 1
    first, _, last = kept(session)[-3:]
    assert first == last


def test_the_first_is_scored_and_marked(session: RoomSession, keeper: Actor, corrected: int) -> None:
    issue_missing(session, keeper)
    later = replace(keeper, now=keeper.now + timedelta(days=20))
    log_drop(session, later, dam_id=corrected, dropped_from=later.today, live=7)
    page = hindcast_page(session, later)
    newest = page.past[0]
    assert newest.corrected
    (_, early, _), (_, earlier, _) = kept(session)[-2:]
    assert newest.shown.window_80.start == early != earlier
    assert page.part.total == 1, (
        "the drop that was corrected had come before its forecast: that foretold nothing"
    )
