"""What happened to one batch: its beginning, counts, losses, lengths, partings and moves."""

from collections.abc import Iterable
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.quantities import show_length
from app.core.wording import many
from app.queries.batch_words import check_words, count_words, loss_words, rehoming_words
from app.queries.case_links import case_events
from app.queries.history import Event, act_of_rows, undoable
from app.queries.occupants import label_of
from app.queries.sections import Place
from app.store.actor import Actor
from app.store.batches import Batch, Count, Keeping, LengthCheck, Loss
from app.store.fish import Fish
from app.store.journal import Act
from app.store.rehomings import Rehoming
from app.store.session import rows
from app.store.stays import Stay

Line = tuple[str, int, date, str, str, str, tuple[str, int] | None]
"""Table and row, day, words, detail, kind, and where it leads."""


def batch_history(session: Session, actor: Actor, batch: Batch, where: dict[int, Place]) -> tuple[Event, ...]:
    """Tell what happened to a batch, newest first; each entry can be taken back by who may."""
    lines = [
        *_begun(batch),
        *_counted(session, batch),
        *_lost(session, batch),
        *_measured(session, actor, batch),
        *_parted(session, batch),
        *_kept(session, batch),
        *_rehomed(session, batch),
        *_moved(session, batch, where),
    ]
    acts = _acts(session, actor, lines)
    told = [(_event(line, acts, actor), acts.get((line[0], line[1]))) for line in lines]
    told += [(event, None) for event in case_events(session, batch_ids=[batch.id])]
    ordered = sorted(told, key=lambda each: (each[0].day, each[1].id if each[1] else 0), reverse=True)
    return tuple(event for event, _ in ordered)


def _acts(session: Session, actor: Actor, lines: Iterable[Line]) -> dict[tuple[str, int], Act]:
    """Return the act behind each row."""
    tables: dict[str, list[int]] = {}
    for table, row_id, *_ in lines:
        if table:
            tables.setdefault(table, []).append(row_id)
    made = {
        (table, row_id): act_id
        for table, ids in tables.items()
        for row_id, act_id in act_of_rows(session, actor, table, ids).items()
    }
    acts = {act.id: act for act in rows(session, Act, Act.id.in_(set(made.values())))}
    return {row: acts[act_id] for row, act_id in made.items()}


def _event(line: Line, acts: dict[tuple[str, int], Act], actor: Actor) -> Event:
    table, row_id, day, words, detail, kind, url = line
    act = acts.get((table, row_id))
    return Event(day, words, detail, kind, url, undoable(actor, act))


def _begun(batch: Batch) -> list[Line]:
    """Return how a batch began; a drop is told, and taken back, on the brood's page."""
    fry = many(batch.start_count, "fish", "fish")
    if batch.parent_id is not None:
        words, url = f"Split off: {fry}", ("batches.page", batch.parent_id)
        return [("", 0, batch.started_on, words, "", "sexing", url)]
    if batch.brood_id is not None:
        url = ("broods.page", batch.brood_id)
        return [("", 0, batch.started_on, f"Dropped: {batch.start_count} live fry", "", "drop", url)]
    came = f" from {batch.source}" if batch.source else ""
    return [("batch", batch.id, batch.started_on, f"{fry} came{came}", batch.note, "fry", None)]


def _counted(session: Session, batch: Batch) -> list[Line]:
    counts = rows(session, Count, Count.batch_id == batch.id)
    return [("batch_count", c.id, c.counted_on, count_words(c), "", "growing", None) for c in counts]


def _lost(session: Session, batch: Batch) -> list[Line]:
    losses = rows(session, Loss, Loss.batch_id == batch.id)
    return [
        (
            "loss",
            each.id,
            each.lost_on,
            loss_words(each),
            each.note,
            "lost",
            None,
        )
        for each in losses
    ]


def _measured(session: Session, actor: Actor, batch: Batch) -> list[Line]:
    checks = rows(session, LengthCheck, LengthCheck.batch_id == batch.id)
    return [
        ("length_check", c.id, c.checked_on, check_words(actor, c), _spread(actor, c), "growing", None)
        for c in checks
    ]


def _spread(actor: Actor, check: LengthCheck) -> str:
    if check.lengths_mm and len(check.lengths_mm) > 1:
        low, high = min(check.lengths_mm), max(check.lengths_mm)
        return f"{show_length(low, actor.units)} to {show_length(high, actor.units)}"
    return f"standard deviation {show_length(check.sd_mm, actor.units)}" if check.sd_mm else ""


def _parted(session: Session, batch: Batch) -> list[Line]:
    parts = rows(session, Batch, Batch.parent_id == batch.id)
    return [
        (
            "batch",
            part.id,
            part.started_on,
            f"{part.start_count} split off as {part.code}",
            "" if part.sex is batch.sex else part.sex.value,
            "sexing",
            ("batches.page", part.id),
        )
        for part in parts
    ]


def _kept(session: Session, batch: Batch) -> list[Line]:
    statement = (
        select(Keeping, Fish)
        .join(Fish, Fish.id == Keeping.fish_id)
        .where(Keeping.fishroom_id == batch.fishroom_id, Keeping.batch_id == batch.id)
    )
    return [
        (
            "keeping",
            keeping.id,
            keeping.kept_on,
            f"{label_of(fish)} kept as broodstock",
            fish.sex.value,
            "adult",
            ("fish.page", fish.id),
        )
        for keeping, fish in session.execute(statement)
    ]


def _rehomed(session: Session, batch: Batch) -> list[Line]:
    gone = rows(session, Rehoming, Rehoming.batch_id == batch.id)
    return [
        (
            "rehoming",
            each.id,
            each.rehomed_on,
            rehoming_words(each),
            each.note,
            "rehomed",
            ("rehomings.card", each.id),
        )
        for each in gone
    ]


def _moved(session: Session, batch: Batch, where: dict[int, Place]) -> list[Line]:
    stays = rows(session, Stay, Stay.batch_id == batch.id, order=(Stay.from_on, Stay.id))
    return [
        ("stay", stay.id, stay.from_on, f"Moved to {where[stay.section_id].words}", "", "note", None)
        for stay in stays[1:]
    ]
