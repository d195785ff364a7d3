"""The rules about batches: count, measure, sex, split, rehome."""

from collections.abc import Iterator
from datetime import date, timedelta

from app.core.reminders.facts import BatchFact, Facts, Reminder, Subject
from app.core.windows import Window
from app.core.wording import day_words, many, window_words

# Common practice, no source: often at first, when most are lost; then as the work allows.
COUNT_EVERY = ((28, 7), (84, 14))
COUNT_LATER = 28
MEASURE_FROM, MEASURE_EVERY = 14, 14
MEASURE_UNTIL = 150
SPLIT_NOTICE_DAYS = 5
ON_THE_DAY = 0


def about(batch: BatchFact) -> Subject:
    """Name the batch that a reminder is about."""
    return Subject("batch", batch.id, batch.code)


def _every(age: int) -> int:
    return next((step for until, step in COUNT_EVERY if age < until), COUNT_LATER)


def count_due(facts: Facts) -> Iterator[Reminder]:
    """Count a batch every week in its first month, every other week in its third, then monthly."""
    for batch in _living(facts):
        last = batch.last_counted or batch.born
        due = last + timedelta(days=_every((last - batch.born).days))
        yield Reminder(
            f"count:{batch.id}:{due}",
            "count_due",
            about(batch),
            batch.tank_id,
            due,
            None,
            f"Count {batch.code}: {batch.alive} since {day_words(last, facts.today)}.",
            "growing",
        )


def length_check_due(facts: Facts) -> Iterator[Reminder]:
    """Measure a few fish every other week while the dates still hang on growth."""
    for batch in _living(facts):
        due = _next_measure(batch)
        if (due - batch.born).days > MEASURE_UNTIL or _must_be_at_size(batch, facts.today):
            continue
        yield Reminder(
            f"length:{batch.id}:{due}",
            "length_check_due",
            about(batch),
            batch.tank_id,
            due,
            None,
            f"Measure {_some(batch)}: it makes {_dates(batch)} narrower.",
            "growing",
        )


def _some(batch: BatchFact) -> str:
    return f"five or more of {batch.code}" if batch.alive > 5 else f"all {batch.alive} of {batch.code}"


def _dates(batch: BatchFact) -> str:
    return "the rehoming date" if batch.sexed else "the sexing and rehoming dates"


def _must_be_at_size(batch: BatchFact, today: date) -> bool:
    return batch.ready is not None and today > batch.ready.end


def _next_measure(batch: BatchFact) -> date:
    if batch.last_measured is None:
        return batch.born + timedelta(days=MEASURE_FROM)
    return batch.last_measured + timedelta(days=MEASURE_EVERY)


def ready_to_sex(facts: Facts) -> Iterator[Reminder]:
    """Say that half of a batch can be told apart, until :func:`split_by` says it with more weight."""
    for batch in _living(facts):
        notice = _split_notice(batch, facts)
        if batch.sexed or facts.today >= notice:
            continue
        yield Reminder(
            f"sex:{batch.id}",
            "ready_to_sex",
            about(batch),
            batch.tank_id,
            batch.opens - timedelta(days=facts.leads.days("ready_to_sex", batch.line_id, ON_THE_DAY)),
            min(batch.comfortable, notice - timedelta(days=1)),
            f"{batch.code} can be sexed: half of it from {day_words(batch.opens, facts.today)}, "
            f"comfortably from {day_words(batch.comfortable, facts.today)}.",
            "sexing",
        )


def split_by(facts: Facts) -> Iterator[Reminder]:
    """Say by when the males must be out, before the first of them may be fertile."""
    for batch in _living(facts):
        if batch.sexed:
            continue
        yield Reminder(
            f"split:{batch.id}",
            "split_by",
            about(batch),
            batch.tank_id,
            _split_notice(batch, facts),
            batch.split_by,
            f"Split {batch.code} by {day_words(batch.split_by, facts.today)}: "
            "after that its first males may be fertile, and sisters would mate with brothers.",
            "sexing",
            urgent=facts.today >= _split_notice(batch, facts),
        )


def _split_notice(batch: BatchFact, facts: Facts) -> date:
    return batch.split_by - timedelta(days=facts.leads.days("split_by", batch.line_id, SPLIT_NOTICE_DAYS))


def ready_to_rehome(facts: Facts) -> Iterator[Reminder]:
    """Say from when a batch can go; where people wait for it :func:`wants.people_waiting` says it."""
    for batch in _living(facts):
        if batch.ready is None or batch.waiting:
            continue
        yield Reminder(
            f"rehome:{batch.id}",
            "ready_to_rehome",
            about(batch),
            batch.tank_id,
            batch.ready.start
            - timedelta(days=facts.leads.days("ready_to_rehome", batch.line_id, ON_THE_DAY)),
            None,
            f"{at_size(batch, batch.ready, facts.today)}: look who could take them.",
            "ready",
        )


def at_size(batch: BatchFact, ready: Window, today: date) -> str:
    """Say of a batch and its number when it comes to size, or that it must be there by now."""
    when = (
        "should be at rehoming size by now"
        if today > ready.end
        else f"comes to rehoming size {window_words(ready, today)}"
    )
    return f"{batch.code} ({many(batch.alive, 'fish', 'fish')}) {when}"


def _living(facts: Facts) -> Iterator[BatchFact]:
    return (batch for batch in facts.batches if batch.alive > 0)
