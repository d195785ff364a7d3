"""The rule about people who wait for fish: told before a batch is ready, and when too many were promised."""

from collections.abc import Iterator
from datetime import timedelta

from app.core.reminders.batches import about, at_size
from app.core.reminders.facts import BatchFact, Facts, Reminder
from app.core.wording import listed, many

NOTICE_DAYS = 3
"""So long before a batch comes to size those who wait for it are told (judgement)."""


def people_waiting(facts: Facts) -> Iterator[Reminder]:
    """Say who waits for a batch that comes to size, in place of :func:`batches.ready_to_rehome`."""
    for batch in facts.batches:
        if not batch.waiting:
            continue
        if batch.promised > batch.alive:
            yield _short(batch, facts)
        elif batch.alive > 0 and batch.ready is not None:
            lead = facts.leads.days("people_waiting", batch.line_id, NOTICE_DAYS)
            yield Reminder(
                f"people_waiting:{batch.id}:{max(want for want, _ in batch.waiting)}",
                "people_waiting",
                about(batch),
                batch.tank_id,
                batch.ready.start - timedelta(days=lead),
                None,
                f"{at_size(batch, batch.ready, facts.today)}: tell who waits for them, {_who(batch)}.",
                "ready",
            )


def _short(batch: BatchFact, facts: Facts) -> Reminder:
    return Reminder(
        f"people_waiting:{batch.id}:left{batch.alive}",
        "people_waiting",
        about(batch),
        batch.tank_id,
        facts.today,
        None,
        f"{batch.code} has {many(batch.alive, 'fish', 'fish')} left and {batch.promised} are promised: "
        f"tell who waits, {_who(batch)}, or promise from another batch.",
        "ready",
    )


def _who(batch: BatchFact) -> str:
    return listed([words for _, words in batch.waiting])
