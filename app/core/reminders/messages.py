"""The rule about morning messages: one that did not go out, or may not have, is told once."""

from collections.abc import Iterator
from datetime import timedelta

from app.core.reminders.facts import Facts, Reminder, Subject
from app.core.wording import day_words

TOLD_DAYS = 7
"""After a week nobody misses a morning's message."""


def message_lost(facts: Facts) -> Iterator[Reminder]:
    """Tell whoever waits for a message that it is missing."""
    for lost in facts.lost:
        yield Reminder(
            f"message:{lost.channel_id}:{lost.day}",
            "message_lost",
            Subject("channel", lost.channel_id, lost.shown),
            None,
            lost.day,
            lost.day + timedelta(days=TOLD_DAYS),
            f"Your message of {day_words(lost.day, facts.today)} to {lost.shown} {lost.words}",
            "care",
        )
