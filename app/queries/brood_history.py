"""What happened to a brood and its batches, as one history."""

from collections.abc import Sequence
from dataclasses import replace

from sqlalchemy.orm import Session

from app.core.wording import listed
from app.queries.batch_words import check_words, count_words, loss_words, rehoming_words
from app.queries.history import Event, act_of_rows
from app.queries.occupants import label_of
from app.store.actor import Actor
from app.store.batches import Batch, Count, LengthCheck, Loss
from app.store.broods import Brood
from app.store.fish import Fish
from app.store.journal import Act
from app.store.rehomings import Rehoming
from app.store.session import rows


def brood_history(
    session: Session, actor: Actor, brood: Brood, dam: Fish, batches: Sequence[Batch]
) -> tuple[Event, ...]:
    """Tell what happened to the brood and its batches, newest first; each can be taken back."""
    ids = [batch.id for batch in batches]
    codes = {batch.id: batch.code for batch in batches}
    several = len(ids) > 1
    events = [
        *_own(session, actor, brood, dam),
        *_counted(session, actor, ids),
        *_lost(session, actor, ids),
        *_measured(session, actor, ids),
        *_gone(session, actor, ids),
    ]
    named = [
        replace(event, words=f"{codes[batch_id]}: {event.words}") if several and batch_id in codes else event
        for event, batch_id in events
    ]
    return tuple(sorted(named, key=lambda event: (event.day, event.act_id or 0), reverse=True))


Told = list[tuple[Event, int]]


def _own(session: Session, actor: Actor, brood: Brood, dam: Fish) -> Told:
    made = act_of_rows(session, actor, "brood", [brood.id])
    numbers = [f"{brood.live} live", *([f"{brood.dead} dead"] if brood.dead else [])]
    numbers += [f"{brood.early} early"] if brood.early else []
    drop = Event(
        brood.dropped_to,
        f"{label_of(dam)} dropped: {listed(numbers)}",
        brood.note,
        "drop",
        ("fish.page", dam.id),
        made.get(brood.id),
    )
    acts = rows(
        session,
        Act,
        Act.subject == f"brood:{brood.id}",
        Act.undone_at.is_(None),
        Act.verb == "correct drop",
    )
    return [(drop, 0), *((Event(actor.day(act.at), act.words, "", "note", None, act.id), 0) for act in acts)]


def _counted(session: Session, actor: Actor, ids: list[int]) -> Told:
    counts = rows(session, Count, Count.batch_id.in_(ids))
    made = act_of_rows(session, actor, "batch_count", [count.id for count in counts])
    return [
        (
            Event(count.counted_on, count_words(count), "", "growing", None, made.get(count.id)),
            count.batch_id,
        )
        for count in counts
    ]


def _lost(session: Session, actor: Actor, ids: list[int]) -> Told:
    losses = rows(session, Loss, Loss.batch_id.in_(ids))
    made = act_of_rows(session, actor, "loss", [loss.id for loss in losses])
    return [
        (
            Event(
                loss.lost_on,
                loss_words(loss),
                loss.note,
                "lost",
                None,
                made.get(loss.id),
            ),
            loss.batch_id,
        )
        for loss in losses
    ]


def _measured(session: Session, actor: Actor, ids: list[int]) -> Told:
    checks = rows(session, LengthCheck, LengthCheck.batch_id.in_(ids))
    made = act_of_rows(session, actor, "length_check", [check.id for check in checks])
    return [
        (
            Event(
                check.checked_on,
                check_words(actor, check),
                "",
                "growing",
                None,
                made.get(check.id),
            ),
            check.batch_id,
        )
        for check in checks
    ]


def _gone(session: Session, actor: Actor, ids: list[int]) -> Told:
    gone = rows(session, Rehoming, Rehoming.batch_id.in_(ids))
    made = act_of_rows(session, actor, "rehoming", [each.id for each in gone])
    return [
        (
            Event(
                each.rehomed_on,
                rehoming_words(each),
                each.note,
                "rehomed",
                None,
                made.get(each.id),
            ),
            each.batch_id or 0,
        )
        for each in gone
    ]
