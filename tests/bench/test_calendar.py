"""A year's calendar of sixty tanks: asked for again, and asked for first after something was logged."""

import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask
from pytest_benchmark.fixture import BenchmarkFixture

from app.config import Config
from app.services import feeds, pairings, reminders
from app.services.batches import log_lengths
from app.services.broods import log_drop
from app.store.batches import Batch
from app.store.reminders import AnswerKind
from app.store.session import RoomSession, enter, make_engine, make_sessions, rows, sqlite_url, writing
from app.web.db import Sessions
from app.web.factory import create_app
from tests.conftest import People
from tests.factories import Made
from tests.support.database import migrated

pytestmark = pytest.mark.bench
TANKS = 60
AGAIN_SECONDS = 0.1
"""What is promised: a year's feed of sixty tanks in under 100 ms."""


def pair(made: Made, number: int) -> None:
    """Put a pair into a tank of its own; every other dam has dropped, and her fry were measured twice."""
    session, actor = made.session, made.actor
    line, section = rows(session, type(made.line()))[0], made.section()
    dam, sire = made.dam(line, section), made.sire(line, section)
    pairings.make_pairing(
        session, actor, section_id=section.id, dam_ids=[dam.id], sire_ids=[sire.id],
        started_on=made.days_ago(50),
    )  # fmt: skip
    if number % 2:
        log_drop(session, actor, dam_id=dam.id, dropped_from=made.days_ago(20), live=20)
        batch = rows(session, Batch)[-1]
        for ago, length in ((10, 9.0), (3, 11.0)):
            log_lengths(session, actor, batch.id, on=made.days_ago(ago), lengths_mm=(length, length + 1))


class Calendar:
    """The served application, a private address, and a way to log something."""

    def __init__(self, app: Flask, address: str, sessions: Sessions, made: Made) -> None:
        """Keep them."""
        self.app, self.address, self.sessions, self.made = app, address, sessions, made

    def asked(self) -> int:
        """Ask for the calendar; return how many events it holds."""
        answer = self.app.test_client().get(self.address)
        assert answer.status_code == 200
        return answer.get_data().count(b"BEGIN:VEVENT")

    def logged(self) -> None:
        """Log something."""
        with self.sessions.writing() as session:
            enter(session, self.made.actor.fishroom_id)
            reminders.answer(session, self.made.actor, key=f"{time.monotonic()}", kind=AnswerKind.DONE)
            session.commit()


@pytest.fixture(scope="module")
def calendar(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Calendar]:
    """Sixty tanks on a database file, and an address."""
    url = sqlite_url(tmp_path_factory.mktemp("sixty") / "sixty.sqlite3")
    migrated(url).dispose()
    engine = make_engine(url)
    sessions = Sessions(make_sessions(engine), make_sessions(writing(engine)))
    with sessions.writing() as session:
        token, made = _sixty(session)
        session.commit()
    app = create_app(Config(data=Path("unused"), database=url, secret_key="only for tests"), sessions)
    yield Calendar(app, f"/calendar/{token}.ics", sessions, made)
    engine.dispose()


def _sixty(session: RoomSession) -> tuple[str, Made]:
    keeper = People(session).keeper
    enter(session, keeper.fishroom_id)
    made = Made(session, keeper)
    made.line("guppy")
    for number in range(TANKS):
        pair(made, number)
    return feeds.make_feed(session, keeper), made


def test_a_year_of_sixty_tanks_asked_for_again(calendar: Calendar, benchmark: BenchmarkFixture) -> None:
    assert calendar.asked() > TANKS
    benchmark(calendar.asked)
    assert benchmark.stats is None or benchmark.stats["median"] < AGAIN_SECONDS


def test_a_year_of_sixty_tanks_after_something_was_logged(
    calendar: Calendar, benchmark: BenchmarkFixture
) -> None:
    assert calendar.asked() > TANKS
    benchmark.pedantic(calendar.asked, setup=calendar.logged, rounds=5)  # type: ignore[no-untyped-call]
