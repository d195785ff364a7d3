"""Private calendar addresses."""

import pytest
from sqlalchemy import select

from app.services import feeds
from app.services.refusals import NotFound
from app.store.actor import Actor
from app.store.reminders import CalendarFeed
from app.store.session import RoomSession, rows
from tests.conftest import People


def test_an_address_opens_until_it_is_taken_back(session: RoomSession, keeper: Actor) -> None:
    token = feeds.make_feed(session, keeper)
    reader = feeds.actor_of_feed(session, token, keeper.now)
    assert reader is not None
    assert (reader.fishroom_id, reader.zone) == (keeper.fishroom_id, "Europe/Berlin")
    feeds.revoke_feed(session, keeper, rows(session, CalendarFeed)[0].id)
    assert feeds.actor_of_feed(session, token, keeper.now) is None


def test_only_a_digest_is_kept(session: RoomSession, keeper: Actor) -> None:
    token = feeds.make_feed(session, keeper)
    assert token not in str(session.execute(select(CalendarFeed.token_hash)).all())


def test_a_reader_cannot_take_back_the_keepers_address(
    session: RoomSession, keeper: Actor, people: People
) -> None:
    feeds.make_feed(session, keeper)
    with pytest.raises(NotFound):
        feeds.revoke_feed(session, people.reader, rows(session, CalendarFeed)[0].id)
