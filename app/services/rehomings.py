"""Rehoming: some or all of a batch, or one fish, to another keeper."""

from datetime import date

from sqlalchemy.orm import Session

from app.core import batches as book
from app.core.wording import day_words
from app.services.batch_books import check_entry, settle
from app.services.fish import check_leaving, see_off
from app.services.journal import Entry
from app.services.refusals import Refused
from app.services.stays import not_ahead
from app.services.wants import LONGEST_NAME, serve
from app.store.actor import Actor
from app.store.batches import Batch
from app.store.fish import Departure, Fish
from app.store.rehomings import Rehoming
from app.store.session import find

DEAREST = 1_000_000.0


def rehome(
    session: Session,
    actor: Actor,
    batch_id: int,
    *,
    on: date,
    number: int,
    to_whom: str = "",
    price: float | None = None,
    note: str = "",
    want_id: int | None = None,
) -> Rehoming:
    """Log that fish of a batch went to another keeper; ``price`` is for all of them together.

    ``want_id`` is whom of those who wait they went to.
    """
    actor.must_log()
    not_ahead(actor, on, "on")
    batch = find(session, Batch, batch_id)
    _check(to_whom, price)
    moment = check_entry(session, actor, batch, book.rehomed(on, number), "number")
    entry = Entry(session, actor, "rehome")
    made = entry.add(
        Rehoming(
            batch_id=batch.id,
            rehomed_on=on,
            number=number,
            to_whom=to_whom.strip(),
            price=price,
            note=note.strip(),
            logged_at=moment,
        )
    )
    if want_id is not None:
        serve(entry, want_id, made, batch.line_id)
    left = settle(entry, batch).alive
    entry.tell(f"batch:{batch.id}", f"{batch.code}: {number} rehomed{_to(to_whom)}, {left} left")
    return made


def rehome_fish(
    session: Session,
    actor: Actor,
    fish_id: int,
    *,
    on: date,
    to_whom: str = "",
    price: float | None = None,
    note: str = "",
) -> Rehoming:
    """Log that a fish went to another keeper: her wait closes and it stands nowhere any more."""
    actor.must_log()
    fish = find(session, Fish, fish_id)
    check_leaving(session, actor, fish, on)
    _check(to_whom, price)
    entry = Entry(session, actor, "rehome")
    made = entry.add(
        Rehoming(
            fish_id=fish.id,
            rehomed_on=on,
            number=1,
            to_whom=to_whom.strip(),
            price=price,
            note=note.strip(),
            logged_at=actor.now,
        )
    )
    see_off(entry, fish, on, Departure.REHOMED)
    entry.tell(f"fish:{fish.id}", f"{fish.code} rehomed{_to(to_whom)}, {day_words(on, actor.today)}")
    return made


def _check(to_whom: str, price: float | None) -> None:
    if price is not None and not 0 <= price <= DEAREST:
        raise Refused("A price is 0 or more, for all of them together.", "price")
    if len(to_whom.strip()) > LONGEST_NAME:
        raise Refused(f"Keep the name within {LONGEST_NAME} letters; the note holds the rest.", "to_whom")


def _to(whom: str) -> str:
    return f" to {whom.strip()}" if whom.strip() else ""
