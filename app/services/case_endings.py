"""What the end of a case means for its fish or batch: a departure, or a loss in the batch's book."""

from datetime import date

from app.core import batches as book
from app.services.batch_books import check_entry, settle
from app.services.fish import check_leaving, see_off
from app.services.journal import Entry
from app.services.refusals import Refused
from app.store.batches import Batch, Loss, LossCause
from app.store.cases import Case, CaseOutcome
from app.store.fish import Departure, Fish
from app.store.session import find

FATAL = {CaseOutcome.DIED: LossCause.ILL, CaseOutcome.KILLED: LossCause.CULLED}
"""Outcomes after which someone is no longer there, and what the batch's book calls it."""


def leave_with(entry: Entry, case: Case, on: date, outcome: CaseOutcome, gone: int) -> None:
    """Log the fish or those of the batch that died with a case, if any were told."""
    if gone < 0:
        raise Refused("Give 0 or more.", "gone")
    if gone == 0:
        return
    if outcome not in FATAL:
        raise Refused(
            f"“{outcome.value.capitalize()}”, but {gone} are said to have died. Give 0, or another outcome.",
            "gone",
        )
    if case.fish_id is not None:
        _fish(entry, case.fish_id, on)
    elif case.batch_id is not None:
        _batch(entry, case.batch_id, on, outcome, gone)
    else:
        raise Refused("Log the losses on the page of the fish or batch; a tank cannot die.", "gone")


def _fish(entry: Entry, fish_id: int, on: date) -> None:
    fish = find(entry.session, Fish, fish_id)
    check_leaving(entry.session, entry.actor, fish, on)
    see_off(entry, fish, on, Departure.DIED)


def _batch(entry: Entry, batch_id: int, on: date, outcome: CaseOutcome, gone: int) -> None:
    batch = find(entry.session, Batch, batch_id)
    moment = check_entry(entry.session, entry.actor, batch, book.loss(on, gone), "gone")
    entry.add(
        Loss(batch_id=batch.id, lost_on=on, number=gone, cause=FATAL[outcome], note="", logged_at=moment)
    )
    settle(entry, batch)
