"""People waiting: writing down what they want, promising it, and taking them off the list."""

from dataclasses import dataclass
from datetime import date

from sqlalchemy.orm import Session

from app.core.wording import many
from app.queries.outlook import batch_outlooks
from app.queries.wants import fits, offers, open_wants, want_words
from app.services.journal import Entry
from app.services.refusals import Refused
from app.services.stays import not_ahead
from app.store.actor import Actor
from app.store.batches import Batch, BatchSex
from app.store.journal import Act
from app.store.lines import Line
from app.store.rehomings import Rehoming
from app.store.session import find
from app.store.wants import Want

LONGEST_NAME = 120
MOST = 1000


@dataclass(frozen=True, slots=True)
class Wanted:
    """What someone wants: how many, of which line and sex, and since when they wait."""

    who: str
    line_id: int
    number: int
    since: date
    sex: BatchSex = BatchSex.MIXED
    note: str = ""


def add_want(session: Session, actor: Actor, wanted: Wanted) -> Want:
    """Put someone on the list."""
    actor.must_log()
    line = _check(session, actor, wanted)
    entry = Entry(session, actor, "note who waits")
    made = entry.add(Want(**_columns(wanted), logged_at=actor.now))
    entry.tell(f"want:{made.id}", f"{made.who} waits for {want_words(made.number, made.sex)} of {line.name}")
    return made


def change_want(session: Session, actor: Actor, want_id: int, wanted: Wanted) -> Want:
    """Correct what someone wants; a promise that no longer fits is to be made anew."""
    actor.must_log()
    want = _waiting(session, want_id)
    line = _check(session, actor, wanted)
    same = (want.line_id, want.sex) == (wanted.line_id, wanted.sex) and wanted.number <= want.number
    entry = Entry(session, actor, "change who waits")
    entry.change(want, **_columns(wanted), **({} if same else {"batch_id": None}))
    entry.tell(f"want:{want.id}", f"{want.who} waits for {want_words(want.number, want.sex)} of {line.name}")
    return want


def promise(session: Session, actor: Actor, want_id: int, batch_id: int | None) -> Act:
    """Promise someone fish of a batch, never more than will likely be there; none takes a promise back."""
    actor.must_log()
    want = _waiting(session, want_id)
    entry = Entry(session, actor, "promise fish")
    if batch_id is None:
        entry.change(want, batch_id=None)
        return entry.tell(f"want:{want.id}", f"{want.who}: nothing promised any more")
    batch = find(session, Batch, batch_id)
    _check_promise(session, actor, want, batch)
    entry.change(want, batch_id=batch.id)
    words = want_words(want.number, want.sex)
    return entry.tell(f"want:{want.id}", f"{words} of {batch.code} promised to {want.who}")


def withdraw(session: Session, actor: Actor, want_id: int) -> Act:
    """Take someone off the list who wants no fish any more."""
    actor.must_log()
    want = _waiting(session, want_id)
    entry = Entry(session, actor, "take off the list")
    entry.change(want, ended_on=actor.today)
    return entry.tell(f"want:{want.id}", f"{want.who} is off the list")


def serve(entry: Entry, want_id: int, made: Rehoming, line_id: int) -> None:
    """Let a rehoming serve someone who waits; who gets fewer than wanted waits for the rest."""
    want = _waiting(entry.session, want_id)
    if want.line_id != line_id:
        line = find(entry.session, Line, want.line_id)
        raise Refused(f"{want.who} waits for {line.name}; leave the wish open.", "want")
    if made.number < want.number:
        entry.change(want, number=want.number - made.number)
    else:
        entry.change(want, ended_on=made.rehomed_on, rehoming_id=made.id)


def _waiting(session: Session, want_id: int) -> Want:
    want = find(session, Want, want_id)
    if want.ended_on is not None:
        raise Refused(f"{want.who} does not wait any more; take that back first, under History.", "want")
    return want


def _columns(wanted: Wanted) -> dict[str, object]:
    return {
        "who": wanted.who.strip(),
        "line_id": wanted.line_id,
        "number": wanted.number,
        "since_on": wanted.since,
        "sex": wanted.sex,
        "note": wanted.note.strip(),
    }


def _check(session: Session, actor: Actor, wanted: Wanted) -> Line:
    not_ahead(actor, wanted.since, "since")
    if not 0 < len(wanted.who.strip()) <= LONGEST_NAME:
        raise Refused(f"Who waits? A name or a word of up to {LONGEST_NAME} letters.", "who")
    if not 0 < wanted.number <= MOST:
        raise Refused(f"How many fish? Give 1 to {MOST}.", "number")
    return find(session, Line, wanted.line_id)


def _check_promise(session: Session, actor: Actor, want: Want, batch: Batch) -> None:
    if batch.line_id != want.line_id:
        raise Refused(f"{batch.code} is not of the line that {want.who} waits for.", "batch_id")
    outlooks = batch_outlooks(session, actor, [batch.id])
    offer = offers(session, actor, outlooks, open_wants(session)).get(batch.id)
    if offer is None:
        raise Refused(f"{batch.code} has no fish left; promise from another batch.", "batch_id")
    if not fits(batch.sex, want.sex):
        raise Refused(f"{batch.code} holds {batch.sex.value} only; promise from another batch.", "batch_id")
    left = offer.left(want)
    if want.number > left:
        others = offer.promised - (want.number if want.batch_id == batch.id else 0)
        already = f", {others} of them promised" if others else ""
        raise Refused(
            f"{batch.code} will likely have {many(offer.likely, 'fish', 'fish')} when it is ready{already}: "
            f"{left} can be promised. Promise fewer or from another batch; a fresh count makes it surer.",
            "batch_id",
        )
