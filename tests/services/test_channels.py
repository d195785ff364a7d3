"""A member's own addresses."""

from datetime import time

import pytest

from app.core.problems import Problem
from app.notify.outbox import Outbox
from app.notify.outcome import Fate, Outcome
from app.queries.messages import messages_page
from app.services import channels
from app.services.refusals import NotFound
from app.store.actor import Actor
from app.store.channels import Channel
from app.store.session import RoomSession, rows
from tests.conftest import People

OUTBOX = Outbox("only for tests", "mailto://mail.fish.example?from=room@fish.example")


def added(session: RoomSession, actor: Actor, address: str = "keeper@fish.example") -> Channel:
    return channels.add_channel(session, actor, OUTBOX, address=address, send_at=time(7))


def test_an_address_is_kept_sealed_and_shown_in_part(session: RoomSession, keeper: Actor) -> None:
    channel = added(session, keeper)
    assert "keeper" not in channel.address_cipher
    assert channel.shown == "k…@fish.example"
    assert OUTBOX.sealer.unseal(channel.address_cipher) == "keeper@fish.example"
    assert messages_page(session, keeper).channels[0].send_at == time(7)


def test_one_member_has_five_at_most(session: RoomSession, keeper: Actor, people: People) -> None:
    for _ in range(channels.MOST):
        added(session, keeper)
    with pytest.raises(Problem, match="5 addresses"):
        added(session, keeper)
    added(session, people.helper)


def test_nobody_sees_or_touches_anothers(session: RoomSession, keeper: Actor, people: People) -> None:
    channel = added(session, people.helper)
    assert messages_page(session, keeper).channels == ()
    with pytest.raises(NotFound):
        channels.pause(session, keeper, channel.id)
    with pytest.raises(NotFound):
        channels.remove(session, keeper, channel.id)


def test_a_broken_address_is_paused_with_its_reason_until_a_test_arrives(
    session: RoomSession, keeper: Actor
) -> None:
    channel = added(session, keeper)
    channels.tried(session, keeper, channel.id, Outcome(Fate.FAILED, "The service answered 404."))
    shown = messages_page(session, keeper).channels[0]
    assert (shown.paused, shown.broken) == (True, "The service answered 404.")
    channels.tried(session, keeper, channel.id, Outcome(Fate.RETRY, "busy"))
    assert messages_page(session, keeper).channels[0].paused
    channels.tried(session, keeper, channel.id, Outcome(Fate.SENT))
    shown = messages_page(session, keeper).channels[0]
    assert (shown.paused, shown.broken) == (False, "")


def test_paused_resumed_moved_and_removed(session: RoomSession, keeper: Actor) -> None:
    channel = added(session, keeper)
    assert channels.pause(session, keeper, channel.id).paused
    assert not channels.resume(session, keeper, channel.id).paused
    assert channels.choose_time(session, keeper, channel.id, time(6, 30)).send_at == time(6, 30)
    channels.remove(session, keeper, channel.id)
    assert rows(session, Channel) == []
