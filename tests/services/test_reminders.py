"""Answering reminders."""

from datetime import timedelta

from app.queries.facts import answers
from app.services.reminders import answer
from app.services.undo import undo
from app.store.actor import Actor
from app.store.reminders import AnswerKind
from app.store.session import RoomSession


def test_an_answer_is_kept_once_changed_and_taken_back(session: RoomSession, keeper: Actor) -> None:
    answer(session, keeper, key="count:1:2026-06-01", kind=AnswerKind.LATER)
    assert answers(session, keeper)["count:1:2026-06-01"].until == keeper.today + timedelta(days=2)
    answer(session, keeper, key="count:1:2026-06-01", kind=AnswerKind.DONE)
    assert answers(session, keeper)["count:1:2026-06-01"].until is None
    undo(session, keeper, session.info["act"].id)
    assert answers(session, keeper)["count:1:2026-06-01"].until == keeper.today + timedelta(days=2)
