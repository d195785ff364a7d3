"""Morning messages: claimed before they are sent, so that neither a crash nor two workers send one twice.

The entry point commits between the steps: claim, commit; compose and send; settle, commit. Whoever dies
after the claim leaves it standing. Such a message may have gone out, so it is never sent again; its
member is told instead.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from sqlalchemy import select, update
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from app.core.civil import is_time, moment_of
from app.notify.letter import letter
from app.notify.outcome import Fate, Message, Outcome
from app.queries.digest import morning_digest
from app.queries.messages import quiet_of
from app.services.channels import broke
from app.store.actor import Actor
from app.store.channels import Channel, Delivery, DeliveryState
from app.store.fishrooms import Fishroom
from app.store.session import enter
from app.store.users import Membership

BACK_OFF = (timedelta(minutes=2), timedelta(minutes=10), timedelta(minutes=30), timedelta(minutes=90))
"""How long to wait after each failed sending; after the last of them the day is given up."""


@dataclass(frozen=True, slots=True)
class Due:
    """A message that should go now: of which address, for which day, and its row if it was tried before."""

    channel_id: int
    fishroom_id: int
    day: date
    delivery_id: int | None


@dataclass(frozen=True, slots=True)
class Claim:
    """A message that is ours to send."""

    delivery_id: int
    attempts: int
    channel_id: int
    sealed: str
    actor: Actor


def waiting(session: Session, now: datetime) -> list[Due]:
    """Return every message of all fishrooms whose hour has come, in a fixed number of statements."""
    found = session.execute(
        select(Channel, Fishroom)
        .join(Fishroom, Fishroom.id == Channel.fishroom_id)
        .join(
            Membership,
            (Membership.fishroom_id == Channel.fishroom_id) & (Membership.user_id == Channel.user_id),
        )
        .where(Channel.paused.is_(False))
        .order_by(Channel.id)
    )
    asked = [(channel, room) for channel, room in found if _its_hour(channel, room, now)]
    since = now.date() - timedelta(days=2)
    there = {
        (row.channel_id, row.day): row
        for row in session.scalars(select(Delivery).where(Delivery.day >= since))
    }
    return list(_open(asked, there, now))


def _its_hour(channel: Channel, room: Fishroom, now: datetime) -> bool:
    """Say whether today's message should have gone by now; one entered after its hour begins tomorrow."""
    quiet, today = quiet_of(room), now.astimezone(ZoneInfo(room.time_zone)).date()
    return (
        is_time(now, room.time_zone, channel.send_at, quiet)
        and moment_of(today, channel.send_at, room.time_zone) >= channel.created_at
    )


def _open(
    asked: list[tuple[Channel, Fishroom]], there: dict[tuple[int, date], Delivery], now: datetime
) -> Iterator[Due]:
    for channel, room in asked:
        day = now.astimezone(ZoneInfo(room.time_zone)).date()
        before = there.get((channel.id, day))
        if before is None:
            yield Due(channel.id, channel.fishroom_id, day, None)
        elif before.state is DeliveryState.RETRY and before.next_at is not None and before.next_at <= now:
            yield Due(channel.id, channel.fishroom_id, day, before.id)


def claim(session: Session, due: Due, now: datetime) -> Claim | None:
    """Make a message ours; nothing where somebody else was faster. Commit before it is sent."""
    enter(session, due.fishroom_id)
    delivery = (
        _claimed_anew(session, due, now) if due.delivery_id is None else _claimed_again(session, due, now)
    )
    if delivery is None:
        return None
    channel, room, member = session.execute(
        select(Channel, Fishroom, Membership)
        .join(Fishroom, Fishroom.id == Channel.fishroom_id)
        .join(
            Membership,
            (Membership.fishroom_id == Channel.fishroom_id) & (Membership.user_id == Channel.user_id),
        )
        .where(Channel.id == due.channel_id)
    ).one()
    actor = Actor.of(room, member.role, now, member.user_id)
    return Claim(delivery.id, delivery.attempts, channel.id, channel.address_cipher, actor)


def _claimed_anew(session: Session, due: Due, now: datetime) -> Delivery | None:
    made = Delivery(
        fishroom_id=due.fishroom_id,
        channel_id=due.channel_id,
        day=due.day,
        state=DeliveryState.CLAIMED,
        attempts=1,
        claimed_at=now,
    )
    try:
        with session.begin_nested():
            session.add(made)
            session.flush()
    except IntegrityError:
        return None
    return made


def _claimed_again(session: Session, due: Due, now: datetime) -> Delivery | None:
    taken = session.execute(
        update(Delivery)
        .where(
            Delivery.id == due.delivery_id,
            Delivery.state == DeliveryState.RETRY,
            Delivery.next_at <= now,
        )
        .values(
            state=DeliveryState.CLAIMED,
            attempts=Delivery.attempts + 1,
            claimed_at=now,
            next_at=None,
            words="",
        )
        .returning(Delivery.id)
    ).scalar_one_or_none()
    return None if taken is None else session.get_one(Delivery, taken, populate_existing=True)


def compose(session: Session, mine: Claim, address: str) -> Message | None:
    """Write the message of a claim; nothing where nothing is due."""
    enter(session, mine.actor.fishroom_id)
    found = morning_digest(session, mine.actor)
    name = f"broodwater-{mine.channel_id}-{mine.actor.today}"
    return None if found is None else letter(found, name, address)


def settle(session: Session, mine: Claim, outcome: Outcome | None, now: datetime) -> Delivery:
    """Note how a sending went; no outcome means that there was nothing to say."""
    enter(session, mine.actor.fishroom_id)
    delivery = session.get_one(Delivery, mine.delivery_id)
    channel = session.get_one(Channel, mine.channel_id)
    if outcome is None:
        delivery.state = DeliveryState.NOTHING
    else:
        _noted(delivery, channel, outcome, now)
    session.flush()
    return delivery


def _noted(delivery: Delivery, channel: Channel, outcome: Outcome, now: datetime) -> None:
    delivery.words = outcome.words[:300]
    if outcome.fate is Fate.SENT:
        delivery.state, delivery.sent_at = DeliveryState.SENT, now
        channel.broken_at, channel.broken_words = None, ""
    elif outcome.fate is Fate.FAILED:
        delivery.state = DeliveryState.FAILED
        broke(channel, outcome.words, now)
    elif outcome.fate is Fate.RETRY and delivery.attempts <= len(BACK_OFF):
        delivery.state, delivery.next_at = DeliveryState.RETRY, now + BACK_OFF[delivery.attempts - 1]
    elif outcome.fate is Fate.RETRY:
        delivery.state = DeliveryState.FAILED
