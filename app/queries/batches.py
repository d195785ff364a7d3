"""Batches as lists and forms need them: who, where, how many, and what comes next."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from sqlalchemy import ColumnElement, Select, func, select
from sqlalchemy.orm import Session

from app.core.readiness import ReadyForecast
from app.core.species import SPECIES
from app.core.wording import age_words, day_words, span_words
from app.queries.books import books
from app.queries.choices import lines
from app.queries.outlook import BatchOutlook, batch_outlooks
from app.queries.paging import Part, part
from app.queries.sections import Place, places
from app.store.actor import Actor
from app.store.batches import Batch, BatchSex
from app.store.lines import Line
from app.store.session import find, rows
from app.store.stays import Stay

SHOWN = 30
CSV_HEAD = ("batch", "line", "sexes", "place", "alive", "born from", "born to", "next")


@dataclass(frozen=True, slots=True)
class BatchHead:
    """One batch as the forms about it need it."""

    id: int
    code: str
    line: str
    species: str
    sex: str
    alive: int
    where: str
    section_id: int | None
    closed: bool
    places: tuple[Place, ...]


@dataclass(frozen=True, slots=True)
class BatchRow:
    """One batch of the list; ``stage`` and ``next`` say what comes."""

    id: int
    code: str
    line_id: int
    line: str
    sex: str
    where: str
    alive: int
    age: str
    born_from: date
    born_to: date
    closed: bool
    stage: str
    next: str


@dataclass(frozen=True, slots=True)
class BatchesPage:
    """A part of the batches by the filter: what is next first, then the ended ones, newest first."""

    batches: tuple[BatchRow, ...]
    part: Part
    lines: tuple[tuple[int, str], ...]
    line_id: int | None
    state: str
    any: bool


@dataclass(frozen=True, slots=True)
class JuvenilesPage:
    """What the form for bought juveniles offers."""

    lines: tuple[tuple[int, str], ...]
    places: tuple[Place, ...]


def batch_head(session: Session, actor: Actor, batch_id: int) -> BatchHead:
    """Read what the forms about one batch need."""
    batch = find(session, Batch, batch_id)
    line = find(session, Line, batch.line_id)
    where = places(session, actor)
    stands = rows(session, Stay, Stay.batch_id == batch.id, Stay.to_on.is_(None))
    here = where[stands[0].section_id] if stands else None
    return BatchHead(
        batch.id,
        batch.code,
        line.name,
        SPECIES[line.species].common_name,
        batch.sex.value,
        books(session, actor.fishroom_id, [batch.id])[batch.id].alive,
        here.words if here is not None else "",
        here.section_id if here is not None else None,
        batch.closed_on is not None,
        tuple(place for place in where.values() if place.open),
    )


def juveniles_page(session: Session, actor: Actor) -> JuvenilesPage:
    """Read what the form for bought juveniles offers."""
    open_ones = tuple(place for place in places(session, actor).values() if place.open)
    return JuvenilesPage(lines(session), open_ones)


def batches_page(
    session: Session, actor: Actor, line_id: int | None = None, state: str = "open", first: int = 0
) -> BatchesPage:
    """Read the batches of every line or one; open, closed or all; after the ``first``."""
    growing = _growing(session, actor, line_id) if state != "closed" else []
    ended = _ended(actor, line_id)
    number = (session.scalar(select(func.count(Batch.id)).where(*ended)) or 0) if state != "open" else 0
    shown = part(first, SHOWN, len(growing) + number)
    found = growing[shown.first : shown.last]
    if number and len(found) < SHOWN:
        rest = _newest(ended).offset(max(0, shown.first - len(growing))).limit(SHOWN - len(found))
        found += _rows(session, actor, session.scalars(rest).all())
    one = session.scalar(select(Batch.id).where(Batch.fishroom_id == actor.fishroom_id).limit(1))
    return BatchesPage(tuple(found), shown, lines(session), line_id, state, one is not None)


def _growing(session: Session, actor: Actor, line_id: int | None) -> list[BatchRow]:
    return _rows(session, actor, rows(session, Batch, Batch.closed_on.is_(None), *_of_line(line_id)))


def _ended(actor: Actor, line_id: int | None) -> tuple[ColumnElement[bool], ...]:
    """Return what the ended batches of a line, or all, have in common."""
    return (Batch.fishroom_id == actor.fishroom_id, Batch.closed_on.is_not(None), *_of_line(line_id))


def _of_line(line_id: int | None) -> tuple[ColumnElement[bool], ...]:
    return () if line_id is None else (Batch.line_id == line_id,)


def _newest(asked: Sequence[ColumnElement[bool]]) -> Select[Batch]:
    return select(Batch).where(*asked).order_by(Batch.born_from.desc(), Batch.id.desc())


def _rows(session: Session, actor: Actor, batches: Sequence[Batch]) -> list[BatchRow]:
    names = dict(lines(session))
    where = places(session, actor)
    ids = [batch.id for batch in batches]
    ledgers = books(session, actor.fishroom_id, ids)
    stands = {
        stay.batch_id: where[stay.section_id].words
        for stay in rows(session, Stay, Stay.batch_id.in_(ids), Stay.to_on.is_(None))
    }
    growing = [batch.id for batch in batches if batch.closed_on is None]
    outlooks = batch_outlooks(session, actor, growing) if growing else {}
    shown = [
        (
            next_step(outlooks.get(batch.id), actor.today),
            BatchRow(
                batch.id,
                batch.code,
                batch.line_id,
                names[batch.line_id],
                sexes(batch.sex),
                stands.get(batch.id, ""),
                ledgers[batch.id].alive,
                age_words(batch.born_from, batch.born_to, actor.today),
                batch.born_from,
                batch.born_to,
                batch.closed_on is not None,
                "closed",
                f"ended {day_words(batch.closed_on, actor.today)}" if batch.closed_on else "",
            ),
        )
        for batch in batches
    ]
    return [_with_next(step, row) for step, row in sorted(shown, key=_by_day)]


@dataclass(frozen=True, slots=True)
class Step:
    """What a batch waits for next, and from which day."""

    day: date
    stage: str
    words: str


def next_step(outlook: BatchOutlook | None, today: date) -> Step | None:
    """Return what comes next for a batch: parting the sexes, or rehoming."""
    if outlook is None:
        return None
    if outlook.case.batch.sex is BatchSex.MIXED:
        due = outlook.sexing.split_by
        words = day_words(due, today)
        if today >= due:
            return Step(due, "due", f"split now: due by {words}")
        return Step(due, "sexing", f"split by {words}")
    return _ready_step(outlook.ready, today)


def _ready_step(ready: ReadyForecast, today: date) -> Step:
    if ready.median is None:
        return Step(date.max, "waiting", "may never reach the length to rehome")
    if ready.median <= today:
        return Step(ready.median, "ready", "ready to rehome")
    if ready.window_80 is None:
        return Step(ready.median, "growing", f"ready from about {day_words(ready.median, today)}")
    span = span_words(ready.window_80.start, ready.window_80.end, today)
    return Step(ready.window_80.start, "growing", f"ready {span}")


def _by_day(item: tuple[Step | None, BatchRow]) -> tuple[bool, date]:
    """Put what waits for nothing last, as it came."""
    step, _ = item
    return (step is None, step.day if step is not None else date.max)


def _with_next(step: Step | None, row: BatchRow) -> BatchRow:
    if step is None:
        return row
    return replace(row, stage=step.stage, next=step.words)


def sexes(sex: BatchSex) -> str:
    """Return a batch's sexes as a page says them."""
    return "not sexed" if sex is BatchSex.MIXED else sex.value


def batches_table(
    session: Session, actor: Actor, line_id: int | None = None, state: str = "open"
) -> Iterable[tuple[str, ...]]:
    """Return all batches by the filter as rows of a file."""
    found = _growing(session, actor, line_id) if state != "closed" else []
    if state != "open":
        found += _rows(session, actor, session.scalars(_newest(_ended(actor, line_id))).all())
    return (
        (
            row.code,
            row.line,
            row.sex,
            row.where,
            str(row.alive),
            row.born_from.isoformat(),
            row.born_to.isoformat(),
            row.next,
        )
        for row in found
    )
