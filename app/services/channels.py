"""Where a member's morning messages go: entered, paused, tried, removed, each by its member."""

from datetime import datetime, time

from sqlalchemy import delete
from sqlalchemy.orm import Session

from app.notify.outbox import Outbox
from app.notify.outcome import Fate, Outcome
from app.services.refusals import NotFound, Refused
from app.store.actor import Actor
from app.store.channels import Channel, Delivery
from app.store.session import find, rows

MOST = 5


def add_channel(session: Session, actor: Actor, outbox: Outbox, *, address: str, send_at: time) -> Channel:
    """Keep an address, sealed; it is no part of the records, so it is not in the journal."""
    if len(rows(session, Channel, Channel.user_id == actor.user_id)) >= MOST:
        raise Refused(f"You have {MOST} addresses already. Remove one first.", "address")
    if actor.user_id is None:
        raise NotFound("nobody to send to")
    sealed, shown = outbox.sealed(address)
    channel = Channel(
        fishroom_id=actor.fishroom_id,
        user_id=actor.user_id,
        address_cipher=sealed,
        shown=shown,
        send_at=send_at,
        created_at=actor.now,
    )
    session.add(channel)
    session.flush()
    return channel


def own(session: Session, actor: Actor, channel_id: int) -> Channel:
    """Return a member's own address; another's is not there for them."""
    channel = find(session, Channel, channel_id)
    if channel.user_id != actor.user_id:
        raise NotFound("not your address")
    return channel


def choose_time(session: Session, actor: Actor, channel_id: int, send_at: time) -> Channel:
    """Choose when the message goes."""
    channel = own(session, actor, channel_id)
    channel.send_at = send_at
    session.flush()
    return channel


def pause(session: Session, actor: Actor, channel_id: int) -> Channel:
    """Send nothing there until it is resumed."""
    channel = own(session, actor, channel_id)
    channel.paused = True
    session.flush()
    return channel


def resume(session: Session, actor: Actor, channel_id: int) -> Channel:
    """Send there again, and forget what went wrong."""
    channel = own(session, actor, channel_id)
    _well(channel)
    session.flush()
    return channel


def remove(session: Session, actor: Actor, channel_id: int) -> Channel:
    """Forget an address and how its messages went."""
    channel = own(session, actor, channel_id)
    session.execute(
        delete(Delivery).where(Delivery.fishroom_id == actor.fishroom_id, Delivery.channel_id == channel.id)
    )
    session.delete(channel)
    session.flush()
    return channel


def tried(session: Session, actor: Actor, channel_id: int, outcome: Outcome) -> Channel:
    """Note how a test went: one that went makes the address good again."""
    channel = own(session, actor, channel_id)
    if outcome.fate is Fate.SENT:
        _well(channel)
    elif outcome.fate is Fate.FAILED:
        broke(channel, outcome.words, actor.now)
    session.flush()
    return channel


def _well(channel: Channel) -> None:
    channel.paused, channel.broken_at, channel.broken_words = False, None, ""


def broke(channel: Channel, words: str, now: datetime) -> None:
    """Pause an address that will not do, and say why."""
    channel.paused, channel.broken_at, channel.broken_words = True, channel.broken_at or now, words[:300]
