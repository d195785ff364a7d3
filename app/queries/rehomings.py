"""Rehoming: which batches are ready or will be, what went when to whom, and what it brought."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from operator import itemgetter

from sqlalchemy import extract, func, select
from sqlalchemy.orm import Session

from app.core.ribbon import Ribbon
from app.core.wording import MONTHS, day_words, span_words
from app.queries.batches import sexes
from app.queries.occupants import label_of
from app.queries.outlook import BatchOutlook, batch_outlooks, ready_ribbon
from app.queries.paging import Part, part
from app.queries.sections import places
from app.queries.wants import Waiting, waiting_list
from app.store.actor import Actor
from app.store.batches import Batch, BatchSex
from app.store.fish import Fish
from app.store.fishrooms import Fishroom
from app.store.lines import Line
from app.store.rehomings import Rehoming
from app.store.session import find, rows
from app.store.stays import Stay

MONTHS_SHOWN = 3
SOON = 5
"""So many of the batches to come are shown at once, the others folded."""
AROUND = timedelta(days=7)
"""Room on the dates that windows of a list share."""
CSV_HEAD = ("day", "batch or fish", "line", "sexes", "number", "to", "price", "note")


@dataclass(frozen=True, slots=True)
class Candidate:
    """A batch that can go now, or will be ready."""

    batch_id: int
    code: str
    line: str
    sex: str
    alive: int
    where: str
    ready_from: date
    words: str
    ribbon: Ribbon | None


@dataclass(frozen=True, slots=True)
class Gone:
    """Fish that went to another keeper; ``kind`` is ``batch`` or ``fish``."""

    id: int
    day: date
    kind: str
    subject_id: int
    code: str
    line: str
    sex: str
    number: int
    to_whom: str
    price: float | None
    note: str


@dataclass(frozen=True, slots=True)
class Month:
    """What went in one month, and what it brought."""

    words: str
    number: int
    income: float | None
    gone: tuple[Gone, ...]


@dataclass(frozen=True, slots=True)
class RehomingsPage:
    """Ready now, ready next, who waits, and the past by month; the sums are of all months, shown or not."""

    ready: tuple[Candidate, ...]
    coming: tuple[Candidate, ...]
    waiting: tuple[Waiting, ...]
    months: tuple[Month, ...]
    part: Part
    number: int
    income: float | None
    money: str
    soon: int = SOON


@dataclass(frozen=True, slots=True)
class FishHead:
    """One fish that is to go to another keeper."""

    id: int
    code: str
    line: str
    sex: str
    gone: bool


def rehomings_page(session: Session, actor: Actor, first: int = 0) -> RehomingsPage:
    """Read what can go, and what went in three of the months that saw any go, after the ``first``."""
    outlooks = batch_outlooks(session, actor)
    candidates = _candidates(session, actor, outlooks)
    sums = _sums(session, actor)
    shown = part(first, MONTHS_SHOWN, len(sums))
    some = sums[shown.first : shown.last]
    return RehomingsPage(
        tuple(each for each in candidates if each.ready_from <= actor.today),
        tuple(each for each in candidates if each.ready_from > actor.today),
        waiting_list(session, actor, outlooks) if actor.may_log else (),
        _months(past(session, actor, some[-1].first, some[0].last)) if some else (),
        shown,
        sum(each.number for each in sums),
        _added([each.income for each in sums]),
        session.get_one(Fishroom, actor.fishroom_id).money,
    )


@dataclass(frozen=True, slots=True)
class _Sum:
    """One month with rehomings: its first and last of them, and what they come to."""

    first: date
    last: date
    number: int
    income: float | None


def _sums(session: Session, actor: Actor) -> list[_Sum]:
    """Return the months that saw any go, newest first."""
    day = Rehoming.rehomed_on
    statement = (
        select(func.min(day), func.max(day), func.sum(Rehoming.number), func.sum(Rehoming.price))
        .where(Rehoming.fishroom_id == actor.fishroom_id)
        .group_by(extract("year", day), extract("month", day))
        .order_by(func.max(day).desc())
    )
    return [_Sum(*row) for row in session.execute(statement)]


def _candidates(session: Session, actor: Actor, found: Mapping[int, BatchOutlook]) -> list[Candidate]:
    outlooks = [each for each in found.values() if each.ledger.alive]
    where = places(session, actor)
    stands = {
        stay.batch_id: where[stay.section_id].words
        for stay in rows(session, Stay, Stay.to_on.is_(None), Stay.batch_id.is_not(None))
    }
    dated = [(each.ready.median, each.case.batch.code, each) for each in outlooks if each.ready.median]
    shown = [each for *_, each in sorted(dated, key=itemgetter(0, 1))]
    now = [each for each in shown if each.ready.median and each.ready.median <= actor.today]
    coming = shown[len(now) :]
    parts = now, coming[:SOON], coming[SOON:]
    return [_candidate(each, stands, _axis(some, actor.today)) for some in parts for each in some]


def _axis(outlooks: Iterable[BatchOutlook], today: date) -> tuple[date, date]:
    """Return the dates that the windows of some batches are drawn on together."""
    ends = [each.ready.window_80.end for each in outlooks if each.ready.window_80]
    return today - AROUND, max([today, *ends]) + AROUND


def _candidate(outlook: BatchOutlook, stands: dict[int | None, str], axis: tuple[date, date]) -> Candidate:
    batch, ready, today = outlook.case.batch, outlook.ready, outlook.today
    return Candidate(
        batch.id,
        batch.code,
        outlook.case.line.name,
        sexes(batch.sex),
        outlook.ledger.alive,
        stands.get(batch.id, ""),
        ready.median or today,
        _ready_words(outlook, today),
        ready_ribbon(ready, today, span=axis) if ready.median and ready.median > today else None,
    )


def _ready_words(outlook: BatchOutlook, today: date) -> str:
    """Say when nearly all of a batch are ready, and how many already are."""
    ready, alive = outlook.ready, outlook.ledger.alive
    window = ready.window_80
    if window is None:
        words = (
            f"Likely ready from about {day_words(ready.median or today, today)}, though some never get there"
        )
    elif today > window.end:
        words = "Nearly all should be ready by now"
    elif ready.median is not None and today >= ready.median:
        words = f"Likely ready by now, nearly surely by {day_words(window.end, today)}"
    else:
        words = f"Nearly all will be ready {span_words(window.start, window.end, today)}"
    now = round(ready.fraction_ready_today * alive)
    return f"{words}; about {now} of {alive} are today." if 0 < now < alive else f"{words}."


def past(session: Session, actor: Actor, since: date = date.min, until: date = date.max) -> list[Gone]:
    """Return every rehoming (of the days between, where they are given), newest first."""
    statement = (
        select(Rehoming, Batch, Fish, Line)
        .outerjoin(Batch, Batch.id == Rehoming.batch_id)
        .outerjoin(Fish, Fish.id == Rehoming.fish_id)
        .join(Line, (Line.id == Batch.line_id) | (Line.id == Fish.line_id))
        .where(Rehoming.fishroom_id == actor.fishroom_id, Rehoming.rehomed_on.between(since, until))
        .order_by(Rehoming.rehomed_on.desc(), Rehoming.id.desc())
    )
    return [
        Gone(
            row.id,
            row.rehomed_on,
            "batch" if batch is not None else "fish",
            batch.id if batch is not None else fish.id,
            batch.code if batch is not None else label_of(fish),
            line.name,
            batch.sex.value if batch is not None else fish.sex.value,
            row.number,
            row.to_whom,
            row.price,
            row.note,
        )
        for row, batch, fish, line in session.execute(statement)
    ]


def _months(gone: Iterable[Gone]) -> tuple[Month, ...]:
    by_month: dict[tuple[int, int], list[Gone]] = defaultdict(list)
    for each in gone:
        by_month[each.day.year, each.day.month].append(each)
    return tuple(
        Month(
            f"{MONTHS[month - 1]} {year}",
            sum(each.number for each in some),
            _added([each.price for each in some]),
            tuple(some),
        )
        for (year, month), some in by_month.items()
    )


def _added(prices: Iterable[float | None]) -> float | None:
    """Add up what was paid; nothing where no price was noted."""
    known = [price for price in prices if price is not None]
    return sum(known) if known else None


def rehomings_table(gone: Iterable[Gone]) -> Iterable[tuple[str, ...]]:
    """Return the past as rows of a file."""
    return (
        (
            each.day.isoformat(),
            each.code,
            each.line,
            "not sexed" if each.sex == BatchSex.MIXED.value else each.sex,
            str(each.number),
            each.to_whom,
            "" if each.price is None else f"{each.price:.2f}",
            each.note,
        )
        for each in gone
    )


def fish_head(session: Session, fish_id: int) -> FishHead:
    """Read what the form about one fish needs."""
    fish = find(session, Fish, fish_id)
    line = find(session, Line, fish.line_id)
    return FishHead(fish.id, label_of(fish), line.name, fish.sex.value, fish.left_on is not None)
