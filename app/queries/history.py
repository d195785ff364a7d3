"""The history page: what was done, newest first, and which acts can be taken back."""

from dataclasses import dataclass
from datetime import date

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.queries.paging import Part, part
from app.store.actor import Actor
from app.store.journal import Act, Change
from app.store.users import User

SHOWN = 40
NOBODY = "an account that is gone"


@dataclass(frozen=True, slots=True)
class Event:
    """One line of a history."""

    day: date
    words: str
    detail: str
    kind: str
    url: tuple[str, int] | None
    act_id: int | None


@dataclass(frozen=True, slots=True)
class HistoryPage:
    """Some of the acts, newest first; a detail says when and who, where that changes on the way down."""

    acts: tuple[Event, ...]
    part: Part


def history_page(session: Session, actor: Actor, first: int = 0) -> HistoryPage:
    """Read some acts of the fishroom; who waits for fish is not for readers."""
    wanted = [Act.fishroom_id == actor.fishroom_id]
    if not actor.may_log:
        wanted.append(Act.subject.not_like("want:%"))
    total = session.scalar(select(func.count(Act.id)).where(*wanted)) or 0
    shown = part(first, SHOWN, total)
    statement = (
        select(Act, User.email)
        .outerjoin(User, User.id == Act.user_id)
        .where(*wanted)
        .order_by(Act.id.desc())
        .offset(shown.first)
        .limit(SHOWN)
    )
    acts, clock, who = [], None, ""
    for act, email in session.execute(statement):
        then, by = actor.local(act.at).replace(second=0, microsecond=0), email or NOBODY
        same = (then, by) == (clock, who)
        said = [] if same else [f"{then:%H:%M}", *([by] if by != who else [])]
        acts.append(_told(actor, act, said))
        clock, who = then, by
    return HistoryPage(tuple(acts), shown)


def _told(actor: Actor, act: Act, said: list[str]) -> Event:
    gone = act.undone_at is not None
    told = ", ".join(["taken back", *said] if gone else said)
    return Event(actor.day(act.at), act.words, told, "closed" if gone else "note", None, undoable(actor, act))


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
