"""Signs: what was seen on a dam before she drops."""

from datetime import date

from sqlalchemy.orm import Session

from app.core.wording import day_words
from app.services.journal import Entry
from app.services.refusals import Refused
from app.services.stays import not_ahead
from app.store.actor import Actor
from app.store.fish import Fish, Sex
from app.store.session import find, rows
from app.store.signs import Sign, SignKind


def log_sign(
    session: Session, actor: Actor, fish_id: int, *, kind: SignKind, seen_on: date, note: str = ""
) -> Sign:
    """Log one sign of a coming drop."""
    actor.must_log()
    dam = find(session, Fish, fish_id)
    _check(session, actor, dam, kind, seen_on)
    entry = Entry(session, actor, "log sign")
    sign = entry.add(Sign(fish_id=dam.id, kind=kind, seen_on=seen_on, note=note.strip()))
    entry.tell(f"fish:{dam.id}", f"{dam.code}: {kind.value} seen on {day_words(seen_on, actor.today)}")
    return sign


def _check(session: Session, actor: Actor, dam: Fish, kind: SignKind, on: date) -> None:
    if dam.sex is Sex.MALE:
        raise Refused(f"{dam.code} is a male. Signs are logged for females.", "kind")
    not_ahead(actor, on, "seen_on")
    if on < dam.arrived_on:
        raise Refused(
            f"{dam.code} came on {day_words(dam.arrived_on, actor.today)}. Give that day or later.", "seen_on"
        )
    if dam.left_on is not None and on > dam.left_on:
        raise Refused(
            f"{dam.code} left on {day_words(dam.left_on, actor.today)}. Give that day or earlier.", "seen_on"
        )
    if rows(session, Sign, Sign.fish_id == dam.id, Sign.kind == kind, Sign.seen_on == on):
        raise Refused(
            f"{kind.value.capitalize()} is logged for {day_words(on, actor.today)} already.", "kind"
        )
