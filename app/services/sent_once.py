"""Forms that waited in a browser: each is known by its key, so that one sent twice counts once."""

from datetime import timedelta

from sqlalchemy import delete, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from app.store.actor import Actor
from app.store.channels import SentOnce

LONGEST_KEY = 64
KEPT = timedelta(days=90)
"""A judgement: far longer than a phone stays without network."""


def first_answer(session: Session, actor: Actor, key: str) -> str | None:
    """Return what was answered when this member's form came first; nothing where it is new."""
    mine = select(SentOnce.answer).where(SentOnce.user_id == actor.user_id, SentOnce.key == key)
    return session.scalar(mine.where(SentOnce.fishroom_id == actor.fishroom_id))


def claim(session: Session, actor: Actor, key: str) -> SentOnce | None:
    """Take the key before the act is done; nothing where another request has just taken it."""
    if actor.user_id is None or not 0 < len(key) <= LONGEST_KEY:
        return None
    old = actor.now - KEPT
    session.execute(delete(SentOnce).where(SentOnce.user_id == actor.user_id, SentOnce.sent_at < old))
    taken = SentOnce(
        fishroom_id=actor.fishroom_id, user_id=actor.user_id, key=key, sent_at=actor.now, answer=""
    )
    try:
        with session.begin_nested():
            session.add(taken)
    except IntegrityError:
        return None
    return taken


def settle(session: Session, taken: SentOnce, words: str) -> None:
    """Keep what is answered, for when the form comes again."""
    taken.answer = words[:300]
    session.flush()
