"""What every test can ask for: a database that forgets, three people, and a browserless client."""

from collections.abc import Iterator
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

import pytest
from argon2 import PasswordHasher
from flask import Flask
from freezegun import freeze_time
from sqlalchemy import Connection, Engine, create_engine

from app.config import Config
from app.core.quantities import Units
from app.services import accounts
from app.store.actor import Actor
from app.store.session import RoomSession, enter, make_sessions
from app.store.users import Role
from app.web.db import Sessions
from app.web.factory import create_app
from app.web.throttle import Throttle
from tests.factories import Made
from tests.support.client import Visitor
from tests.support.database import migrated, test_url
from tests.support.skips import pytest_make_collect_report, pytest_runtest_makereport  # noqa: F401 - hooks

NOON = datetime(2026, 6, 15, 12, 0, tzinfo=UTC)
PASSWORD = "a long enough password"


@pytest.fixture(scope="session")
def engine(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Engine]:
    """One migrated database for all tests."""
    made = migrated(test_url(tmp_path_factory.mktemp("database")))
    yield made
    made.dispose()


@pytest.fixture
def connection(engine: Engine) -> Iterator[Connection]:
    """A connection whose every change is rolled back after the test."""
    with engine.connect() as connected:
        outer = connected.begin()
        yield connected
        outer.rollback()


@pytest.fixture
def session(connection: Connection) -> Iterator[RoomSession]:
    """A session in which commits are savepoints."""
    with make_sessions(connection, join_transaction_mode="create_savepoint")() as opened:
        yield opened


@pytest.fixture(scope="session", autouse=True)
def _cheap_passwords() -> Iterator[None]:
    """Hash the cast's passwords as quickly as the library can: nobody attacks a test."""
    costly, accounts.HASHER = accounts.HASHER, PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
    yield
    accounts.HASHER = costly


@pytest.fixture(scope="module", autouse=True)
def noon(request: pytest.FixtureRequest) -> Iterator[None]:
    """Every test happens at noon on 15 June 2026, unless it moves the clock; core has none to stop."""
    if "core" in request.path.parts:
        yield
        return
    with freeze_time(NOON, ignore=["tests.journeys.browser", "_pytest."]):
        yield


class People:
    """Three accounts: two in one fishroom, one outside."""

    def __init__(self, session: RoomSession) -> None:
        """Make them."""
        here = accounts.add_fishroom(session, "Cellar", NOON, zone="Europe/Berlin")
        there = accounts.add_fishroom(session, "Attic", NOON, zone="America/Chicago", units=Units.US)
        self.keeper = self._join(session, here.id, "keeper@fish.example", Role.KEEPER)
        self.helper = self._join(session, here.id, "helper@fish.example", Role.HELPER)
        self.reader = self._join(session, here.id, "reader@fish.example", Role.READER)
        self.stranger = self._join(session, there.id, "stranger@fish.example", Role.KEEPER)

    @staticmethod
    def _join(session: RoomSession, room_id: int, email: str, role: Role) -> Actor:
        from app.store.fishrooms import Fishroom  # noqa: PLC0415

        room = session.get_one(Fishroom, room_id)
        user = accounts.add_user(session, email, PASSWORD, NOON)
        accounts.add_member(session, room, user, role)
        return Actor(user.id, room.id, role, NOON, room.time_zone, room.units, room.set_point_c)


@pytest.fixture
def people(session: RoomSession) -> People:
    """The cast."""
    cast = People(session)
    session.commit()
    return cast


@pytest.fixture
def keeper(people: People, session: RoomSession) -> Actor:
    """The keeper, with the session narrowed to the keeper's fishroom."""
    enter(session, people.keeper.fishroom_id)
    return people.keeper


@pytest.fixture
def made(session: RoomSession, keeper: Actor) -> Made:
    """Ready-made tanks, lines and fish in the keeper's fishroom."""
    return Made(session, keeper)


@cache
def _application() -> Flask:
    """Put the web application together once: its routes and templates are the same for every test."""
    config = Config(data=Path("unused"), database="unused", secret_key="only for tests")
    nowhere = make_sessions(create_engine("sqlite://"))
    made = create_app(config, Sessions(nowhere, nowhere))
    made.testing = True
    return made


@pytest.fixture
def app(connection: Connection) -> Iterator[Flask]:
    """The web application on the test's own connection, with no try noted and no setting of another test."""
    made, sessions = _application(), make_sessions(connection, join_transaction_mode="create_savepoint")
    extensions, settings = dict(made.extensions), dict(made.config)
    made.extensions["sessions"] = Sessions(sessions, sessions)
    for part in made.extensions.values():
        if isinstance(part, Throttle):
            part.tries.clear()
    yield made
    made.extensions.clear()
    made.extensions.update(extensions)
    made.config.clear()
    made.config.update(settings)


@pytest.fixture
def visit(app: Flask, people: People) -> Visitor:
    """The keeper at a browserless browser that checks every page it opens."""
    return Visitor(app, people.keeper)


@pytest.fixture
def outsider(app: Flask, people: People) -> Visitor:
    """Someone with an account in another fishroom."""
    return Visitor(app, people.stranger)


@pytest.fixture
def reading(app: Flask, people: People) -> Visitor:
    """A member who may look but not log."""
    return Visitor(app, people.reader)


@pytest.fixture
def helping(app: Flask, people: People) -> Visitor:
    """A member who may log but not manage."""
    return Visitor(app, people.helper)
