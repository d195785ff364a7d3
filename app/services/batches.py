"""Batches: counting them, their losses and lengths, and juveniles bought unsexed."""

from collections.abc import Sequence
from datetime import date, timedelta

from sqlalchemy.orm import Session

from app.core import batches as book
from app.core.growth import GrowthEvidence, total_from_standard
from app.core.growth import LengthCheck as Check
from app.core.growth.evidence import tidy
from app.core.problems import Problem
from app.core.quantities import show_length
from app.core.wording import day_words, listed, many
from app.queries.evidence.lines import species_of
from app.services import carryings, stays
from app.services.batch_books import check_entry, ledger_of, next_moment, settle
from app.services.batch_splits import check_code, keep, sort_sexes, split
from app.services.journal import Entry
from app.services.refusals import Refused
from app.services.stays import not_ahead, place, section_words
from app.store.actor import Actor
from app.store.batches import Batch, BatchSex, Count, LengthCheck, LengthKind, Loss, LossCause
from app.store.lines import Line
from app.store.session import find
from app.store.tanks import Section

__all__ = [
    "add_juveniles",
    "keep",
    "log_count",
    "log_lengths",
    "log_loss",
    "move",
    "sort_sexes",
    "split",
]

OLDEST_JUVENILE = 730
"""Days; what is older than two years is no juvenile of any species here."""

AGE_SPREAD, LEAST_SPREAD = 0.25, 7
"""A guessed age is taken to be right within a quarter, and within a week at best (judgement)."""


def log_count(
    session: Session,
    actor: Actor,
    batch_id: int,
    *,
    on: date,
    alive: int,
    females: int | None = None,
    males: int | None = None,
) -> Count:
    """Log how many are alive; fewer than the book has are taken for lost, more for found again."""
    actor.must_log()
    not_ahead(actor, on, "on")
    batch = find(session, Batch, batch_id)
    _check_sexes(batch, alive, females, males)
    before = ledger_of(session, actor, batch).alive
    moment = check_entry(session, actor, batch, book.count(on, alive), "alive")
    entry = Entry(session, actor, "count")
    count = entry.add(
        Count(batch_id=batch.id, counted_on=on, alive=alive, females=females, males=males, logged_at=moment)
    )
    settle(entry, batch)
    entry.tell(f"batch:{batch.id}", f"{batch.code}: {_counted_words(count)}{_against(before, alive)}")
    return count


def _check_sexes(batch: Batch, alive: int, females: int | None, males: int | None) -> None:
    told = (females or 0) + (males or 0)
    if min(females or 0, males or 0, alive) < 0:
        raise Refused("A count is 0 or more.", "alive")
    if told > alive:
        raise Refused(
            f"{females or 0} females and {males or 0} males make {told}, but {alive} were counted alive. "
            "Count again, or correct one of the three.",
            "females",
        )
    for sex, number in ((BatchSex.FEMALES, males), (BatchSex.MALES, females)):
        if batch.sex is sex and number:
            other = "males" if sex is BatchSex.FEMALES else "females"
            raise Refused(
                f"{batch.code} is a batch of {sex.value}. Split the {many(number, other[:-1])} off first.",
                other,
            )


def _counted_words(count: Count) -> str:
    sexes = [
        many(number, word)
        for number, word in ((count.females, "female"), (count.males, "male"))
        if number is not None
    ]
    return f"{count.alive} counted" + (f", {listed(sexes)}" if sexes else "")


def _against(before: int, alive: int) -> str:
    if alive == before:
        return ""
    return f"; {before - alive} fewer than the book had" if alive < before else f"; {alive - before} more"


def log_loss(
    session: Session,
    actor: Actor,
    batch_id: int,
    *,
    on: date,
    number: int,
    cause: LossCause = LossCause.UNKNOWN,
    note: str = "",
) -> Loss:
    """Log fish that died or went missing."""
    actor.must_log()
    not_ahead(actor, on, "on")
    batch = find(session, Batch, batch_id)
    moment = check_entry(session, actor, batch, book.loss(on, number), "number")
    entry = Entry(session, actor, "loss")
    loss = entry.add(
        Loss(batch_id=batch.id, lost_on=on, number=number, cause=cause, note=note.strip(), logged_at=moment)
    )
    left = settle(entry, batch).alive
    why = "" if cause is LossCause.UNKNOWN else f" ({cause.value})"
    entry.tell(f"batch:{batch.id}", f"{batch.code}: {number} lost{why}, {left} alive")
    return loss


def log_lengths(
    session: Session,
    actor: Actor,
    batch_id: int,
    *,
    on: date,
    lengths_mm: Sequence[float] = (),
    n: int | None = None,
    mean_mm: float | None = None,
    sd_mm: float | None = None,
    kind: LengthKind = LengthKind.TOTAL,
) -> LengthCheck:
    """Log a length check: each fish, or number, mean and spread of a sample."""
    actor.must_log()
    not_ahead(actor, on, "on")
    batch = find(session, Batch, batch_id)
    check = _check(on, lengths_mm, n, mean_mm, sd_mm)
    _check_lengths(session, actor, batch, check, kind)
    entry = Entry(session, actor, "length check")
    made = entry.add(
        LengthCheck(
            batch_id=batch.id,
            checked_on=on,
            kind=kind,
            n=check.n,
            mean_mm=check.mean_mm,
            sd_mm=check.sd_mm,
            lengths_mm=list(lengths_mm) or None,
            logged_at=actor.now,
        )
    )
    mean = show_length(made.mean_mm, actor.units)
    entry.tell(f"batch:{batch.id}", f"{batch.code}: {made.n} measured, mean {mean} {kind.value} length")
    return made


def _check(
    on: date, lengths_mm: Sequence[float], n: int | None, mean_mm: float | None, sd_mm: float | None
) -> Check:
    if lengths_mm and (n is not None or mean_mm is not None):
        raise Refused("Give the single lengths, or number and mean: one of the two.", "lengths")
    if not lengths_mm and (n is None or mean_mm is None):
        raise Refused("Type the lengths, or the number of fish and their mean.", "lengths")
    try:
        if lengths_mm:
            return Check(on, tuple(lengths_mm))
        return Check.summed(on, n or 0, mean_mm or 0.0, sd_mm)
    except Problem as problem:
        raise Refused(problem.message, _field(problem, summed=not lengths_mm)) from problem


def _field(problem: Problem, *, summed: bool) -> str:
    """Return the field of the page that a problem of the core's belongs to."""
    if not summed:
        return "lengths"
    return {"sd_mm": "sd_mm", "lengths_mm": "mean_mm", "mean_mm": "mean_mm"}.get(problem.field, "n")


def _check_lengths(session: Session, actor: Actor, batch: Batch, check: Check, kind: LengthKind) -> None:
    """Refuse what this species can't measure, more fish than there are, and days before the batch."""
    if check.day < batch.started_on:
        raise Refused(
            f"{batch.code} was begun on {day_words(batch.started_on, actor.today)}. Give that day or later.",
            "on",
        )
    started = ledger_of(session, actor, batch)
    most = started.started + started.found
    summed = not check.lengths_mm
    if check.n > most:
        raise Refused(
            f"{check.n} lengths, but {batch.code} never held more than {many(most, 'fish', 'fish')}. "
            "Log a count first if there are more.",
            "n" if summed else "lengths",
        )
    factor = total_from_standard(1.0) if kind is LengthKind.STANDARD else 1.0
    whole = Check(
        check.day,
        tuple(value * factor for value in check.lengths_mm),
        check.n,
        check.mean_mm * factor,
        check.sd_mm,
    )
    line = find(session, Line, batch.line_id)
    try:
        tidy(GrowthEvidence(species_of(line), batch.born_from, actor.today, checks=(whole,)))
    except Problem as problem:
        as_total = "as total length, " if kind is LengthKind.STANDARD else ""
        raise Refused(as_total + problem.message, "mean_mm" if summed else "lengths") from problem


def move(session: Session, actor: Actor, batch_id: int, *, section_id: int, on: date) -> Section:
    """Move a batch that still has fish."""
    batch = find(session, Batch, batch_id)
    if batch.closed_on is not None:
        raise Refused(
            f"{batch.code} has had no fish since {day_words(batch.closed_on, actor.today)}. "
            "Log a count first if there are some.",
            "section_id",
        )
    here = stays.open_stay(session, batch=batch)
    if here is not None and here.section_id == section_id:
        raise Refused(f"{batch.code} stands there already. Choose another place.", "section_id")
    return stays.move(session, actor, section_id=section_id, on=on, batch_ids=[batch.id])


def add_juveniles(
    session: Session,
    actor: Actor,
    *,
    line_id: int,
    code: str,
    number: int,
    age_days: int,
    give_or_take_days: int | None = None,
    on: date,
    section_id: int,
    source: str = "",
    sex: BatchSex = BatchSex.MIXED,
    note: str = "",
) -> Batch:
    """Add juveniles that were bought or traded unsexed, with the age they seem to have."""
    actor.must_log()
    not_ahead(actor, on, "on")
    line = find(session, Line, line_id)
    section = find(session, Section, section_id)
    code = check_code(session, code, "code")
    if number < 1:
        raise Refused("How many came? Give 1 or more.", "number")
    born_from, born_to = _born(on, age_days, give_or_take_days)
    entry = Entry(session, actor, "add juveniles")
    batch = entry.add(
        Batch(
            line_id=line.id,
            code=code,
            sex=sex,
            born_from=born_from,
            born_to=born_to,
            started_on=on,
            start_count=number,
            source=source.strip(),
            note=note.strip(),
            logged_at=next_moment(actor, ()),
        )
    )
    place(entry, section.id, on, batch=batch)
    carryings.follow_exposure(entry, section.id, on)
    words = f"{batch.code}: {number} juveniles of {line.name} came into {section_words(session, section)}"
    entry.tell(f"batch:{batch.id}", words)
    return batch


def _born(on: date, age_days: int, give_or_take: int | None) -> tuple[date, date]:
    """Return the days between which juveniles of about that age were born."""
    if not 0 <= age_days <= OLDEST_JUVENILE:
        raise Refused("Give an age from 0 to 2 years; older fish are broodstock.", "age")
    spread = max(LEAST_SPREAD, round(AGE_SPREAD * age_days)) if give_or_take is None else give_or_take
    if spread < 0:
        raise Refused("Give or take 0 or more.", "give_or_take")
    middle = on - timedelta(days=age_days)
    return middle - timedelta(days=spread), min(on, middle + timedelta(days=spread))
