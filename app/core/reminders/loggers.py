"""The rule about loggers: one that stopped sending is noted once."""

from collections.abc import Iterator
from datetime import timedelta

from app.core.reminders.facts import Facts, Reminder, Subject
from app.core.wording import day_words

NOTED_DAYS = 7
"""After a week of silence it is known, or meant."""


def logger_silent(facts: Facts) -> Iterator[Reminder]:
    """Say that a logger was not heard for a day, until it is answered, heard again, or a week went by."""
    for logger in facts.silent_loggers:
        due = logger.heard_on + timedelta(days=1)
        yield Reminder(
            f"logger_silent:{logger.id}:{logger.heard_on}",
            "logger_silent",
            Subject("logger", logger.id, logger.name),
            logger.tank_id,
            due,
            due + timedelta(days=NOTED_DAYS),
            f"{logger.name} has sent nothing since {day_words(logger.heard_on, facts.today)}: "
            "look at its power and its network, and read the thermometer by eye.",
            "waiting",
        )
