"""Morning messages step by step: whose hour has come, claimed once, settled as they went."""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest

from app.core.reminders import due
from app.notify.outcome import Fate, Outcome
from app.queries.facts import morning
from app.queries.messages import lost_messages, messages_page
from app.services import channels, deliveries, fishrooms, reminders
from app.services.deliveries import BACK_OFF, Claim
from app.store.actor import Actor
from app.store.channels import Channel, Delivery, DeliveryState
from app.store.reminders import AnswerKind
from app.store.session import RoomSession, rows
from tests.conftest import NOON, People
from tests.factories import Made
from tests.services.test_channels import OUTBOX

SEVEN = datetime(2026, 6, 16, 5, 0, tzinfo=UTC)  # in Berlin, in summer
MINUTE = timedelta(minutes=1)


@pytest.fixture
def channel(session: RoomSession, keeper: Actor) -> Channel:
    """The keeper's address, entered at noon for seven in the morning."""
    return channels.add_channel(session, keeper, OUTBOX, address="keeper@fish.example", send_at=time(7))


def days_waiting(session: RoomSession, now: datetime) -> list[date]:
    return [one.day for one in deliveries.waiting(session, now)]


def claimed(session: RoomSession, now: datetime) -> Claim:
    mine = deliveries.claim(session, deliveries.waiting(session, now)[0], now)
    assert mine is not None
    return mine


def test_one_entered_after_its_hour_begins_the_next_day(session: RoomSession, channel: Channel) -> None:
    assert days_waiting(session, NOON + timedelta(hours=1)) == []
    assert days_waiting(session, SEVEN - MINUTE) == []
    assert days_waiting(session, SEVEN) == [date(2026, 6, 16)]


def test_a_message_is_claimed_by_one_only(session: RoomSession, channel: Channel) -> None:
    found = deliveries.waiting(session, SEVEN)
    assert deliveries.claim(session, found[0], SEVEN) is not None
    assert deliveries.claim(session, found[0], SEVEN) is None
    assert days_waiting(session, SEVEN) == []


def test_what_went_is_not_sent_again_that_day_but_the_next(session: RoomSession, channel: Channel) -> None:
    mine = claimed(session, SEVEN)
    deliveries.settle(session, mine, Outcome(Fate.SENT), SEVEN)
    assert days_waiting(session, SEVEN + timedelta(hours=9)) == []
    assert days_waiting(session, SEVEN + timedelta(days=1)) == [date(2026, 6, 17)]
    assert messages_page(session, mine.actor).channels[0].latest[0].words == "sent"


def test_what_surely_failed_is_tried_again_ever_later_and_then_given_up(
    session: RoomSession, keeper: Actor, channel: Channel
) -> None:
    now = SEVEN
    for wait in BACK_OFF:
        deliveries.settle(
            session, claimed(session, now), Outcome(Fate.RETRY, "The service answered 503."), now
        )
        assert days_waiting(session, now + wait - MINUTE) == []
        assert lost_messages(session, replace(keeper, now=now)) == ()
        now += wait
    delivery = deliveries.settle(session, claimed(session, now), Outcome(Fate.RETRY, "still"), now)
    assert (delivery.state, delivery.attempts) == (DeliveryState.FAILED, 5)
    assert days_waiting(session, now + timedelta(hours=3)) == []
    assert days_waiting(session, SEVEN + timedelta(days=1)) == [date(2026, 6, 17)]
    told = lost_messages(session, replace(keeper, now=now))
    assert [lost.words for lost in told] == ["did not go out. still"]


def test_a_second_worker_does_not_take_what_the_first_tries_again(
    session: RoomSession, channel: Channel
) -> None:
    deliveries.settle(session, claimed(session, SEVEN), Outcome(Fate.RETRY), SEVEN)
    later = SEVEN + BACK_OFF[0]
    both = deliveries.waiting(session, later)
    assert deliveries.claim(session, both[0], later) is not None
    assert deliveries.claim(session, both[0], later) is None


def test_what_failed_for_good_pauses_the_address_and_is_told_once(
    session: RoomSession, keeper: Actor, channel: Channel
) -> None:
    deliveries.settle(
        session, claimed(session, SEVEN), Outcome(Fate.FAILED, "The service answered 404."), SEVEN
    )
    assert channel.paused
    assert days_waiting(session, SEVEN + timedelta(days=1)) == []
    today = morning(session, replace(keeper, now=SEVEN))
    told = due(today.facts, today.answers)
    assert [r.rule for r in told] == ["message_lost"]
    reminders.answer(session, keeper, key=told[0].key, kind=AnswerKind.DONE)
    later = morning(session, replace(keeper, now=SEVEN + timedelta(days=1)))
    assert due(later.facts, later.answers) == []


def test_a_claim_that_nobody_settled_is_never_sent_again_but_told(
    session: RoomSession, keeper: Actor, channel: Channel
) -> None:
    claimed(session, SEVEN)
    soon, later = SEVEN + 5 * MINUTE, SEVEN + 11 * MINUTE
    assert lost_messages(session, replace(keeper, now=soon)) == ()
    assert days_waiting(session, later) == []
    words = [lost.words for lost in lost_messages(session, replace(keeper, now=later))]
    assert len(words) == 1
    assert words[0].startswith("may not have gone out. The server stopped while it was sending.")


def test_an_unknown_end_is_told_with_its_reason_and_not_sent_again(
    session: RoomSession, keeper: Actor, channel: Channel
) -> None:
    deliveries.settle(session, claimed(session, SEVEN), Outcome(Fate.UNKNOWN, "It hung up."), SEVEN)
    assert days_waiting(session, SEVEN + timedelta(hours=2)) == []
    assert "It hung up." in lost_messages(session, replace(keeper, now=SEVEN))[0].words


def test_of_lost_days_in_a_row_only_the_first_is_told(
    session: RoomSession, keeper: Actor, channel: Channel
) -> None:
    for day in range(4):
        now = SEVEN + timedelta(days=day)
        if day != 2:
            deliveries.settle(session, claimed(session, now), Outcome(Fate.UNKNOWN, "It hung up."), now)
        else:
            deliveries.settle(session, claimed(session, now), Outcome(Fate.SENT), now)
    told = lost_messages(session, replace(keeper, now=SEVEN + timedelta(days=4)))
    assert [lost.day.day for lost in told] == [16, 19]


def test_nobody_else_is_told_of_a_members_lost_message(
    session: RoomSession, people: People, channel: Channel
) -> None:
    deliveries.settle(session, claimed(session, SEVEN), Outcome(Fate.UNKNOWN), SEVEN)
    assert lost_messages(session, replace(people.helper, now=SEVEN)) == ()


def test_a_morning_with_nothing_due_sends_nothing(
    session: RoomSession, keeper: Actor, channel: Channel
) -> None:
    mine = claimed(session, SEVEN)
    assert deliveries.compose(session, mine, "https://fish.example") is None
    assert deliveries.settle(session, mine, None, SEVEN).state is DeliveryState.NOTHING
    assert days_waiting(session, SEVEN + timedelta(hours=1)) == []


def test_the_message_says_what_the_rounds_say(
    session: RoomSession, keeper: Actor, channel: Channel, made: Made
) -> None:
    batch = made.batch(made.line("guppy"), number=20, age_days=6)
    message = deliveries.compose(session, claimed(session, SEVEN), "https://fish.example")
    assert message is not None
    assert f"Count {batch.code}" in message.text
    assert f"Count {batch.code}" in message.html
    assert message.name == f"broodwater-{channel.id}-2026-06-16"
    assert "https://fish.example/settings/messages" in message.text


def test_quiet_hours_hold_a_message_back_until_they_end(
    session: RoomSession, keeper: Actor, channel: Channel
) -> None:
    reminders.choose_quiet_hours(session, keeper, start=time(22), end=time(8))
    assert days_waiting(session, SEVEN + timedelta(minutes=59)) == []
    assert days_waiting(session, SEVEN + timedelta(hours=1)) == [date(2026, 6, 16)]


@pytest.mark.parametrize(
    ("day", "hour"),
    [(date(2026, 10, 24), 5), (date(2026, 10, 25), 6), (date(2026, 3, 28), 6), (date(2026, 3, 29), 5)],
)
def test_seven_is_seven_on_both_sides_of_the_change_of_clocks(
    session: RoomSession, keeper: Actor, day: date, hour: int
) -> None:
    early = replace(keeper, now=datetime(2025, 12, 1, tzinfo=UTC))
    channels.add_channel(session, early, OUTBOX, address="keeper@fish.example", send_at=time(7))
    seven = datetime.combine(day, time(hour), UTC)
    assert days_waiting(session, seven - MINUTE) == []
    assert days_waiting(session, seven) == [day]


def test_the_hour_that_comes_twice_sends_once(session: RoomSession, keeper: Actor) -> None:
    early = replace(keeper, now=datetime(2025, 12, 1, tzinfo=UTC))
    channels.add_channel(session, early, OUTBOX, address="keeper@fish.example", send_at=time(2, 30))
    sent = 0
    for minute in range(0, 25 * 60, 10):
        now = datetime(2026, 10, 24, 22, 0, tzinfo=UTC) + minute * MINUTE
        for one in deliveries.waiting(session, now):
            mine = deliveries.claim(session, one, now)
            assert mine is not None
            deliveries.settle(session, mine, Outcome(Fate.SENT), now)
            sent += 1
    assert sent == 1


def test_whoever_left_the_fishroom_gets_nothing_more(
    session: RoomSession, keeper: Actor, people: People
) -> None:
    channels.add_channel(session, people.helper, OUTBOX, address="helper@fish.example", send_at=time(7))
    assert len(days_waiting(session, SEVEN)) == 1
    fishrooms.dismiss(session, keeper, email="helper@fish.example")
    assert days_waiting(session, SEVEN) == []


def test_removing_an_address_forgets_its_mornings(
    session: RoomSession, keeper: Actor, channel: Channel
) -> None:
    deliveries.settle(session, claimed(session, SEVEN), Outcome(Fate.SENT), SEVEN)
    channels.remove(session, keeper, channel.id)
    assert rows(session, Delivery) == []
