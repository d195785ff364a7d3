"""Plays what the keeper answered to reminders."""

from app.core.reminders import ahead
from app.queries.facts import morning
from app.services import reminders
from app.store.reminders import AnswerKind
from seed_demo.script import Row
from seed_demo.stage import Stage

SOON_DAYS = 7


def answer(stage: Stage, row: Row) -> None:
    """Answer the reminder of one rule about one fish or batch, if it is asked by then."""
    today = morning(stage.session, stage.actor)
    for asked in ahead(today.facts, today.answers, SOON_DAYS):
        if asked.rule == row.text("rule") and asked.subject.label == row.text("about"):
            reminders.answer(
                stage.session,
                stage.actor,
                key=asked.key,
                kind=AnswerKind(row.text("kind")),
                words=asked.words,
            )
