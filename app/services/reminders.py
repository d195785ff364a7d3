"""Answering reminders: done, later, not needed."""

from datetime import timedelta

from sqlalchemy.orm import Session

from app.services.journal import Entry
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.reminders import Answer, AnswerKind
from app.store.session import rows

LATER_DAYS = 2
WORDS = {
    AnswerKind.DONE: "Done",
    AnswerKind.LATER: "Put off for two days",
    AnswerKind.NOT_NEEDED: "Not needed",
}


def answer(session: Session, actor: Actor, *, key: str, kind: AnswerKind, words: str = "") -> Answer:
    """Keep the answer to one reminder; it is not asked again, or not before the day it was put off to."""
    actor.must_log()
    if not key or len(key) > 120:
        raise Refused("Which reminder? Open the rounds again and answer it there.", "key")
    until = actor.today + timedelta(days=LATER_DAYS) if kind is AnswerKind.LATER else None
    entry = Entry(session, actor, "answer reminder")
    before = rows(session, Answer, Answer.key == key)
    if before:
        entry.change(before[0], kind=kind, until_on=until, answered_at=actor.now)
        kept = before[0]
    else:
        kept = entry.add(Answer(key=key, kind=kind, until_on=until, answered_at=actor.now))
    entry.tell("rounds:0", f"{WORDS[kind]}: {words.strip()}" if words.strip() else WORDS[kind])
    return kept
