"""The fry routine as the keeper wants it: stages of one's own, for the fishroom or for a line."""

from sqlalchemy.orm import Session

from app.core.fry_care import FRY_UNTIL_DAYS, Care
from app.services.journal import Entry
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.journal import Act
from app.store.lines import Line
from app.store.session import find, rows
from app.store.waters import FryCare

MOST_FEEDS = 12
RAREST_CHANGE = 60


def choose_care(session: Session, actor: Actor, care: Care, line_id: int | None = None) -> FryCare:
    """Set how fry are cared for from an age on, for one line or for all; it replaces that stage."""
    actor.must_manage()
    _check(care)
    line = find(session, Line, line_id) if line_id is not None else None
    whose = FryCare.line_id == line.id if line is not None else FryCare.line_id.is_(None)
    there = rows(session, FryCare, whose, FryCare.from_age_days == care.from_age_days)
    entry = Entry(session, actor, "choose fry care")
    values = {
        "feeds_a_day": care.feeds_a_day,
        "change_every_days": care.change_every_days,
        "change_fraction": care.change_fraction,
    }
    if there:
        entry.change(there[0], **values)
        kept = there[0]
    else:
        line_key = line.id if line is not None else None
        kept = entry.add(FryCare(line_id=line_key, from_age_days=care.from_age_days, **values))
    name = f" of {line.name}" if line is not None else ""
    entry.tell(_subject(line), f"Fry{name} from {care.from_age_days} days on: {care.feeds_a_day} feeds a day")
    return kept


def _check(care: Care) -> None:
    if not 0 <= care.from_age_days < FRY_UNTIL_DAYS:
        raise Refused(
            f"From {care.from_age_days} days on? Fry are told of up to {FRY_UNTIL_DAYS} days.",
            "from_age_days",
        )
    if not 1 <= care.feeds_a_day <= MOST_FEEDS:
        raise Refused(f"{care.feeds_a_day} feeds a day; give 1 to {MOST_FEEDS}.", "feeds_a_day")
    if not 1 <= care.change_every_days <= RAREST_CHANGE:
        raise Refused(
            f"A change every {care.change_every_days} days; give 1 to {RAREST_CHANGE}.", "change_every_days"
        )
    if not 0 < care.change_fraction <= 1:
        raise Refused(f"{care.change_fraction * 100:g} % cannot be changed; give 1 to 100 %.", "fraction")


def drop_care(session: Session, actor: Actor, care_id: int) -> Act:
    """Let a stage be as usual again."""
    actor.must_manage()
    kept = find(session, FryCare, care_id)
    line = find(session, Line, kept.line_id) if kept.line_id is not None else None
    entry = Entry(session, actor, "choose fry care")
    age = kept.from_age_days
    entry.remove(kept)
    return entry.tell(_subject(line), f"Fry from {age} days on: as usual again")


def _subject(line: Line | None) -> str:
    return f"line:{line.id}" if line is not None else "fishroom"
