"""The history page: the latest acts, and which can be taken back."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.store.actor import Actor
from app.store.journal import Act, Change
from app.store.users import User

SHOWN = 100


@dataclass(frozen=True, slots=True)
class DoneAct:
    """One act as the page tells it."""

    id: int
    at: datetime
    who: str
    words: str
    undone: bool


@dataclass(frozen=True, slots=True)
class HistoryPage:
    """The latest acts, newest first."""

    acts: tuple[DoneAct, ...]


def history_page(session: Session, actor: Actor) -> HistoryPage:
    """Read the latest acts of the fishroom; who waits for fish is not for readers."""
    shown = () if actor.may_log else (Act.subject.not_like("want:%"),)
    statement = (
        select(Act, User.email)
        .outerjoin(User, User.id == Act.user_id)
        .where(Act.fishroom_id == actor.fishroom_id, *shown)
        .order_by(Act.id.desc())
        .limit(SHOWN)
    )
    return HistoryPage(
        tuple(
            DoneAct(act.id, act.at, email or "the demo", act.words, act.undone_at is not None)
            for act, email in session.execute(statement)
        )
    )


def undoable(actor: Actor, act: Act | None) -> int | None:
    """Return the number of an act that this member may take back; nothing for any other."""
    if act is None or act.undone_at is not None or not actor.may_log:
        return None
    return act.id if actor.may_manage or act.user_id == actor.user_id else None


def act_of_rows(session: Session, actor: Actor, table_name: str, ids: list[int]) -> dict[int, int]:
    """Return, for each row, the act that made it, so that a timeline can offer to take it back."""
    if not ids:
        return {}
    statement = select(Change.row_id, Change.act_id).where(
        Change.fishroom_id == actor.fishroom_id,
        Change.table_name == table_name,
        Change.row_id.in_(ids),
        Change.before.is_(None),
    )
    return {row_id: act_id for row_id, act_id in session.execute(statement)}  # noqa: C416 - rows are typed so
