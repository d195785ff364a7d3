"""The rule about quarantines that no plan watches: a decision is asked for at their end."""

from collections.abc import Iterator
from datetime import date, timedelta

from app.core.reminders.facts import Facts, Reminder, Subject
from app.core.wording import day_words

QUARANTINE_ASKED_DAYS = 14
"""After two weeks without an answer the fish has moved on in fact."""


def quarantine_ends(facts: Facts) -> Iterator[Reminder]:
    """Ask for a decision on the day a quarantine ends, where no plan asks for it."""
    for fish in facts.quarantined:
        if fish.planned:
            continue
        yield Reminder(
            f"quarantine:{fish.id}:{fish.quarantine_until}",
            "quarantine_ends",
            Subject("fish", fish.id, fish.code),
            fish.tank_id,
            fish.quarantine_until - timedelta(days=facts.leads.days("quarantine_ends", fish.line_id, 0)),
            fish.quarantine_until + timedelta(days=QUARANTINE_ASKED_DAYS),
            f"Quarantine of {fish.code} {_ends(fish.quarantine_until, facts.today)}: "
            "look for clamped fins, spots and thinness, then move on or wait longer.",
            "quarantine",
        )


def _ends(day: date, today: date) -> str:
    if day == today:
        return "ends today"
    return f"{'ends' if day > today else 'ended'} {day_words(day, today)}"
