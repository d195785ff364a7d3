"""A member's own morning messages: where they go, how the last ones went, and which were lost."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.civil import Quiet, send_clock
from app.core.reminders import LostFact
from app.store.actor import Actor
from app.store.channels import Channel, Delivery, DeliveryState
from app.store.fishrooms import Fishroom
from app.store.session import rows

STUCK = timedelta(minutes=10)
"""No sending takes that long: whoever claimed it is gone."""
REMEMBERED_DAYS = 30
SHOWN = 5


@dataclass(frozen=True, slots=True)
class DeliveryShown:
    """One morning, and how its message went."""

    day: date
    words: str
    well: bool


@dataclass(frozen=True, slots=True)
class ChannelShown:
    """One address as its member may see it."""

    id: int
    shown: str
    send_at: time
    goes_at: time
    paused: bool
    broken: str
    latest: tuple[DeliveryShown, ...]


@dataclass(frozen=True, slots=True)
class MessagesPage:
    """A member's addresses."""

    channels: tuple[ChannelShown, ...]
    fishroom: str
    time_zone: str


def quiet_of(room: Fishroom) -> Quiet | None:
    """Return the fishroom's quiet hours, where it has some."""
    if room.quiet_from is None or room.quiet_to is None:
        return None
    return Quiet(room.quiet_from, room.quiet_to)


def messages_page(session: Session, actor: Actor) -> MessagesPage:
    """Read a member's addresses in a fixed number of statements."""
    room = session.get_one(Fishroom, actor.fishroom_id)
    since = actor.today - timedelta(days=REMEMBERED_DAYS)
    latest: dict[int, list[DeliveryShown]] = {}
    for _, delivery in reversed(_mine(session, actor, since)):
        latest.setdefault(delivery.channel_id, []).append(_shown(delivery, actor))
    channels = rows(session, Channel, Channel.user_id == actor.user_id)
    return MessagesPage(
        tuple(_channel(one, quiet_of(room), tuple(latest.get(one.id, ())[:SHOWN])) for one in channels),
        room.name,
        room.time_zone,
    )


def _channel(channel: Channel, quiet: Quiet | None, latest: tuple[DeliveryShown, ...]) -> ChannelShown:
    return ChannelShown(
        channel.id,
        channel.shown,
        channel.send_at,
        send_clock(channel.send_at, quiet),
        channel.paused,
        channel.broken_words,
        latest,
    )


def _shown(delivery: Delivery, actor: Actor) -> DeliveryShown:
    lost = lost_words(delivery, actor.now, actor.today)
    if lost:
        return DeliveryShown(delivery.day, lost, well=False)
    words = {
        DeliveryState.SENT: "sent",
        DeliveryState.NOTHING: "nothing was due, so nothing was sent",
        DeliveryState.RETRY: f"not gone yet, is tried again. {delivery.words}",
    }
    return DeliveryShown(delivery.day, words.get(delivery.state, "is being sent"), well=True)


def lost_words(delivery: Delivery, now: datetime, today: date) -> str:
    """Say how a message was lost; nothing for one that went, or still may."""
    if delivery.state is DeliveryState.FAILED:
        return f"did not go out. {delivery.words}"
    if delivery.state is DeliveryState.RETRY and delivery.day < today:
        return f"did not go out that day. {delivery.words}"
    if delivery.state is DeliveryState.CLAIMED and (delivery.words or now - delivery.claimed_at > STUCK):
        why = delivery.words or "The server stopped while it was sending."
        return f"may not have gone out. {why} It is not sent again, so that it never comes twice."
    return ""


def lost_messages(session: Session, actor: Actor) -> tuple[LostFact, ...]:
    """Return the member's lost messages; of days in a row only the first."""
    found = _mine(session, actor, actor.today - timedelta(days=REMEMBERED_DAYS))
    return tuple(_firsts(found, actor))


def _firsts(found: list[tuple[Channel, Delivery]], actor: Actor) -> Iterator[LostFact]:
    lost: set[tuple[int, date]] = set()
    for channel, delivery in found:
        words = lost_words(delivery, actor.now, actor.today)
        if not words:
            continue
        lost.add((channel.id, delivery.day))
        if (channel.id, delivery.day - timedelta(days=1)) not in lost:
            yield LostFact(channel.id, channel.shown, delivery.day, words)


def _mine(session: Session, actor: Actor, since: date) -> list[tuple[Channel, Delivery]]:
    statement = (
        select(Channel, Delivery)
        .join(Delivery, Delivery.channel_id == Channel.id)
        .where(
            Channel.fishroom_id == actor.fishroom_id,
            Channel.user_id == actor.user_id,
            Delivery.fishroom_id == actor.fishroom_id,
            Delivery.day >= since,
        )
        .order_by(Delivery.day, Delivery.id)
    )
    return [(channel, delivery) for channel, delivery in session.execute(statement)]
