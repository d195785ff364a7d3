"""Forms that waited: a key counts once, and is forgotten in time."""

from dataclasses import replace
from datetime import timedelta

from app.services.sent_once import KEPT, claim, first_answer, settle
from app.store.actor import Actor
from app.store.channels import SentOnce
from app.store.session import RoomSession, rows
from tests.conftest import People


def test_a_key_is_taken_once_and_answered_as_at_first(session: RoomSession, keeper: Actor) -> None:
    assert first_answer(session, keeper, "a1") is None
    taken = claim(session, keeper, "a1")
    assert taken is not None
    settle(session, taken, "A1 has dropped")
    assert claim(session, keeper, "a1") is None
    assert first_answer(session, keeper, "a1") == "A1 has dropped"


def test_two_members_may_come_upon_the_same_key(session: RoomSession, keeper: Actor, people: People) -> None:
    assert claim(session, keeper, "a1") is not None
    assert first_answer(session, people.helper, "a1") is None
    assert claim(session, people.helper, "a1") is not None


def test_what_is_no_key_is_not_taken(session: RoomSession, keeper: Actor) -> None:
    assert claim(session, keeper, "") is None
    assert claim(session, keeper, "x" * 65) is None


def test_a_long_answer_is_kept_as_far_as_it_fits(session: RoomSession, keeper: Actor) -> None:
    taken = claim(session, keeper, "a1")
    assert taken is not None
    settle(session, taken, "x" * 400)
    assert first_answer(session, keeper, "a1") == "x" * 300


def test_old_keys_are_forgotten(session: RoomSession, keeper: Actor) -> None:
    claim(session, keeper, "old")
    later = replace(keeper, now=keeper.now + KEPT + timedelta(days=1))
    claim(session, later, "new")
    assert [row.key for row in rows(session, SentOnce)] == ["new"]
