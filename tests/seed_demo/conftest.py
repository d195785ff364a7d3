"""The story played once, on the day all tests happen, and forgotten again."""

from collections.abc import Iterator

import pytest
from sqlalchemy import Engine, select

from app.store.actor import Actor
from app.store.fishrooms import Fishroom
from app.store.session import RoomSession, make_sessions
from app.store.users import Membership, Role, User
from seed_demo.story import KEEPER, load
from tests.conftest import NOON

Said = list[str]


@pytest.fixture(scope="module")
def told(engine: Engine) -> Iterator[tuple[RoomSession, Said]]:
    """The loaded story, and what was said while it was loading; nothing of it stays."""
    with engine.connect() as connection:
        outer = connection.begin()
        with make_sessions(connection, join_transaction_mode="create_savepoint")() as session:
            said: Said = []
            load(session, NOON, said.append)
            session.commit()
            yield session, said
        outer.rollback()


@pytest.fixture
def demo(told: tuple[RoomSession, Said]) -> RoomSession:
    """A session on the demo's fishroom."""
    return told[0]


@pytest.fixture
def owner(demo: RoomSession) -> Actor:
    """The demo's keeper."""
    member = demo.scalars(
        select(Membership).join(User, User.id == Membership.user_id).where(User.email == KEEPER)
    ).one()
    room = demo.get_one(Fishroom, member.fishroom_id)
    assert member.role is Role.KEEPER
    return Actor(member.user_id, room.id, member.role, NOON, room.time_zone, room.units, room.set_point_c)
