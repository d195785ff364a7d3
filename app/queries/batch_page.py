"""One batch: what is true of it now, what comes next, its curves, its book and its history."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.batches import Event as Entered
from app.core.batches import Ledger
from app.core.batches import ledger as added_up
from app.core.charts import Chart
from app.core.growth import GrowthForecast
from app.core.growth.words import standing_words
from app.core.problems import Problem
from app.core.quantities import Units
from app.core.readiness import ReadyForecast
from app.core.ribbon import Ribbon
from app.core.sex_ratio import SexRatio, sex_ratio
from app.core.sexing import SexingForecast
from app.core.species import SPECIES
from app.core.survival import Survival
from app.core.wording import age_words, day_words, many, span_words
from app.queries.batch_charts import growth_chart, survival_chart, survival_of
from app.queries.batch_history import batch_history
from app.queries.batches import Step, next_step, sexes
from app.queries.books import events_of
from app.queries.case_links import CaseLink, open_cases
from app.queries.history import Event
from app.queries.outlook import BatchOutlook, batch_outlooks
from app.queries.sections import places
from app.store.actor import Actor
from app.store.batches import Batch, BatchSex, Count
from app.store.broods import Brood
from app.store.lines import Line
from app.store.session import find, rows
from app.store.stays import Stay

AHEAD = timedelta(weeks=4)
SOON = timedelta(days=5)
ODD = 0.05
"""The customary bound below which a ratio is called odd."""


@dataclass(frozen=True, slots=True)
class Relative:
    """The brood a batch comes from, or a batch it was split from or into."""

    id: int
    code: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class Ratio:
    """What the last sexing count says of the share of males."""

    counted_on: date
    verdict: str
    words: str


@dataclass(frozen=True, slots=True)
class Next:
    """What comes next for a batch that has fish."""

    step: Step | None
    growth: GrowthForecast
    sexing: SexingForecast
    ready: ReadyForecast
    sexing_ribbon: Ribbon
    ready_ribbon: Ribbon | None
    opens: str
    split_by: str
    split_passed: bool
    split_soon: bool
    ready_words: str
    ready_now: bool
    standing: str


@dataclass(frozen=True, slots=True)
class BatchPage:
    """One batch."""

    id: int
    code: str
    line_id: int
    line: str
    species: str
    scientific: str
    brood: Relative | None
    parent: Relative | None
    parts: tuple[Relative, ...]
    born: str
    age: str
    sex: str
    mixed: bool
    where: str
    tank_id: int | None
    closed_on: date | None
    source: str
    note: str
    counted: str
    ledger: Ledger
    next: Next | None
    trouble: str
    growth: Chart | None
    survival: Chart | None
    ratio: Ratio | None
    history: tuple[Event, ...]
    cases: tuple[CaseLink, ...]


def batch_page(session: Session, actor: Actor, batch_id: int) -> BatchPage:
    """Read one batch, in a fixed number of statements."""
    batch = find(session, Batch, batch_id)
    line = find(session, Line, batch.line_id)
    where = places(session, actor)
    standing = rows(session, Stay, Stay.batch_id == batch.id, Stay.to_on.is_(None))
    here = where[standing[0].section_id] if standing else None
    events = events_of(session, actor.fishroom_id, [batch.id]).get(batch.id, [])
    counts = rows(session, Count, Count.batch_id == batch.id, order=(Count.counted_on, Count.logged_at))
    outlook, trouble = _outlook(session, actor, batch)
    species = SPECIES[line.species]
    return BatchPage(
        id=batch.id,
        code=batch.code,
        line_id=line.id,
        line=line.name,
        species=species.common_name,
        scientific=species.scientific_name,
        brood=_brood(session, batch),
        parent=_parent(session, batch),
        parts=_parts(session, batch),
        born=span_words(batch.born_from, batch.born_to, actor.today),
        age=age_words(batch.born_from, batch.born_to, batch.closed_on or actor.today),
        sex=sexes(batch.sex),
        mixed=batch.sex is BatchSex.MIXED,
        where=here.words if here is not None else "",
        tank_id=here.tank_id if here is not None else None,
        closed_on=batch.closed_on,
        source=batch.source,
        note=batch.note,
        counted=_counted_words(counts, actor.today),
        ledger=added_up(events),
        next=what_next(outlook, actor.today) if outlook is not None and batch.closed_on is None else None,
        trouble=trouble,
        growth=_growth(outlook, batch, actor),
        survival=_survival(events, batch, actor.today, outlook),
        ratio=_ratio(counts),
        history=batch_history(session, actor, batch, where),
        cases=open_cases(session, batch_ids=[batch.id]),
    )


def _outlook(session: Session, actor: Actor, batch: Batch) -> tuple[BatchOutlook | None, str]:
    """Return the forecasts, or why there are none."""
    try:
        return batch_outlooks(session, actor, [batch.id]).get(batch.id), ""
    except Problem as problem:
        return None, problem.message


def _brood(session: Session, batch: Batch) -> Relative | None:
    if batch.brood_id is None:
        return None
    brood = find(session, Brood, batch.brood_id)
    return Relative(brood.id, brood.code)


def _parent(session: Session, batch: Batch) -> Relative | None:
    if batch.parent_id is None:
        return None
    parent = find(session, Batch, batch.parent_id)
    return Relative(parent.id, parent.code)


def _parts(session: Session, batch: Batch) -> tuple[Relative, ...]:
    statement = (
        select(Batch)
        .where(Batch.fishroom_id == batch.fishroom_id, Batch.parent_id == batch.id)
        .order_by(Batch.started_on, Batch.id)
    )
    return tuple(
        Relative(part.id, part.code, f"{part.start_count} {part.sex.value}")
        for part in session.scalars(statement)
    )


def _counted_words(counts: Sequence[Count], today: date) -> str:
    if not counts:
        return "none yet"
    return f"{counts[-1].alive} on {day_words(counts[-1].counted_on, today)}"


def what_next(outlook: BatchOutlook, today: date) -> Next:
    """Put what comes next for a batch into words and drawings."""
    sexing, ready = outlook.sexing, outlook.ready
    window = ready.window_80
    return Next(
        step=next_step(outlook, today),
        growth=outlook.growth,
        sexing=sexing,
        ready=ready,
        sexing_ribbon=outlook.sexing_ribbon,
        ready_ribbon=outlook.ready_ribbon,
        opens=span_words(sexing.opens_80.start, sexing.opens_80.end, today),
        split_by=day_words(sexing.split_by, today),
        split_passed=today >= sexing.split_by,
        split_soon=today >= sexing.first_signs or today >= sexing.split_by - SOON,
        ready_words=span_words(window.start, window.end, today) if window is not None else "",
        ready_now=ready.median is not None and ready.median <= today,
        standing=standing_words(outlook.growth.standing, outlook.growth.percentile),
    )


def _growth(outlook: BatchOutlook | None, batch: Batch, actor: Actor) -> Chart | None:
    if outlook is None or (batch.closed_on is not None and not outlook.case.checks):
        return None
    metric = Units.METRIC if actor.units is Units.METRIC else Units.US
    return growth_chart(outlook, batch.closed_on or actor.today, metric)


def _survival(
    events: Sequence[Entered], batch: Batch, today: date, outlook: BatchOutlook | None
) -> Chart | None:
    """Draw survival with the numbers expected on the day the batch is ready, or four weeks on."""
    closed = batch.closed_on is not None
    until = today + AHEAD
    ready = outlook.ready.median if outlook is not None else None
    if ready is not None and today < ready < today + timedelta(days=200):
        until = ready
    lived: Survival | None = survival_of(events, today, until)
    return None if lived is None else survival_chart(lived, today, closed=closed)


def _ratio(counts: Sequence[Count]) -> Ratio | None:
    """Test the last count in which females and males were told apart."""
    sexed = [count for count in counts if count.females is not None and count.males is not None]
    if not sexed or not (sexed[-1].females or 0) + (sexed[-1].males or 0):
        return None
    last = sexed[-1]
    tested = sex_ratio(last.males or 0, last.females or 0)
    return Ratio(last.counted_on, _verdict(tested), ratio_words(tested))


def _verdict(tested: SexRatio) -> str:
    told = f"{many(tested.males, 'male')}, {many(tested.females, 'female')}"
    if tested.p_value >= ODD:
        return f"{told}: nothing odd"
    return f"{told}: an odd ratio"


def ratio_words(tested: SexRatio) -> str:
    """Say what the exact test found, and which shares of males the count does not rule out."""
    chance = f"{100 * tested.p_value:.0f}" if tested.p_value >= 0.01 else "fewer than 1"
    low, high = (100 * share for share in (tested.interval_95.low, tested.interval_95.high))
    return (
        f"If males and females were equally likely, {chance} of 100 broods would come out at least this "
        f"uneven (exact binomial test). A share of males from {low:.0f} to {high:.0f} % fits the count "
        "(95 % interval)."
    )
