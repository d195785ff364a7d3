"""Keeps each forecast as it was first shown, so that the truth can score it later."""

import hashlib
from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.births import LastDrop
from app.core.births.evidence import starts
from app.queries.outlook import BatchOutlook, BirthOutlook, batch_outlooks, birth_outlooks
from app.store.actor import Actor
from app.store.batches import Batch
from app.store.carryings import Carrying
from app.store.forecasts import Forecast, ForecastKind

MODEL_VERSION = "2026.2"
_LITTLE = 0.0005


def issue_missing(session: Session, actor: Actor) -> int:
    """Store a forecast for every open wait and batch that needs one; say how many.

    A wait needs one when it has none yet, or when its start was corrected since the last one: then
    another is kept beside it. What was first shown is never touched, and it is what is scored.
    """
    made = [*_births(session, actor), *_batches(session, actor)]
    session.add_all(made)
    session.flush()
    return len(made)


def _births(session: Session, actor: Actor) -> list[Forecast]:
    statement = (
        select(Carrying, Forecast.id, Forecast.detail["start"].as_string())
        .outerjoin(Forecast, Forecast.carrying_id == Carrying.id)
        .where(Carrying.fishroom_id == actor.fishroom_id, Carrying.ended_on.is_(None))
        .order_by(Carrying.id, Forecast.id)
    )
    latest = {wait: (kept, start) for wait, kept, start in session.execute(statement)}
    waiting = [
        wait.dam_id
        for wait, (kept, start) in latest.items()
        if kept is None or start not in {None, _start(wait)}
    ]
    if not waiting:
        return []
    return [_birth(actor, outlook) for outlook in birth_outlooks(session, actor, waiting).values()]


def _start(wait: Carrying) -> str:
    """Return in one word when and how a wait began, so that a correction of it is seen."""
    return f"{wait.basis}: {wait.started_on}/{wait.started_until}"


def _birth(actor: Actor, outlook: BirthOutlook) -> Forecast:
    told, said = outlook.case.evidence, outlook.forecast
    return Forecast(
        fishroom_id=actor.fishroom_id,
        kind=ForecastKind.BIRTH,
        carrying_id=outlook.carrying_id,
        issued_on=actor.today,
        issued_at=actor.now,
        median=said.median,
        from_80=said.window_80.start if said.window_80 else None,
        to_80=said.window_80.end if said.window_80 else None,
        naive=naive_drop(outlook),
        probability=said.p_carrying,
        detail={
            "cdf": kept_rows(said.cdf),
            "notes": list(said.notes),
            "confidence": said.confidence,
            "start": _start(outlook.case.carrying),
        },
        digest=hashlib.sha256(repr(told).encode()).hexdigest(),
        model_version=MODEL_VERSION,
    )


def naive_drop(outlook: BirthOutlook) -> date:
    """Return what the fixed-day rule says: the species' interval after the last drop or first exposure."""
    told = outlook.case.evidence
    first, _ = starts(told.start)
    begin = told.start.latest if isinstance(told.start, LastDrop) else first
    return begin + timedelta(days=round(told.species.interval_days))


def kept_rows(cdf: Sequence[tuple[date, float]]) -> list[list[Any]]:
    """Keep the part of the cdf that says something, rounded to what a person could use.

    Days of practically no chance are left out, and all after the day that makes it practically
    certain. That day stays, however steeply the chance leaps, so that the table can be scored.
    """
    certain = next((i for i, (_, p) in enumerate(cdf) if p >= 1 - _LITTLE), len(cdf))
    return [[day.isoformat(), round(p, 4)] for day, p in cdf[: certain + 1] if p > _LITTLE]


def _batches(session: Session, actor: Actor) -> list[Forecast]:
    growing = session.scalars(
        select(Batch.id)
        .outerjoin(Forecast, Forecast.batch_id == Batch.id)
        .where(Batch.fishroom_id == actor.fishroom_id, Batch.closed_on.is_(None), Forecast.id.is_(None))
    ).all()
    if not growing:
        return []
    outlooks = batch_outlooks(session, actor, growing).values()
    return [forecast for outlook in outlooks for forecast in _of_batch(actor, outlook)]


def _of_batch(actor: Actor, outlook: BatchOutlook) -> tuple[Forecast, Forecast]:
    sexing, ready = outlook.sexing, outlook.ready
    window = ready.window_80
    return (
        _batch(actor, outlook, ForecastKind.SEXING, sexing.opens, sexing.opens_80.start, sexing.opens_80.end),
        _batch(
            actor,
            outlook,
            ForecastKind.READY,
            ready.median,
            window.start if window else None,
            window.end if window else None,
        ),
    )


def _batch(
    actor: Actor,
    outlook: BatchOutlook,
    kind: ForecastKind,
    median: date | None,
    start: date | None,
    end: date | None,
) -> Forecast:
    case = outlook.case
    return Forecast(
        fishroom_id=actor.fishroom_id,
        kind=kind,
        batch_id=case.batch.id,
        issued_on=actor.today,
        issued_at=actor.now,
        median=median,
        from_80=start,
        to_80=end,
        naive=None,
        probability=None,
        detail={"split_by": outlook.sexing.split_by.isoformat(), "confidence": outlook.growth.confidence},
        digest=hashlib.sha256(
            repr((case.species, case.born, case.checks, case.temperature)).encode()
        ).hexdigest(),
        model_version=MODEL_VERSION,
    )
