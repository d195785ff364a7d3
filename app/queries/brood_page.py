"""One brood: what is true of it now, what comes next, the drop against its forecast, and its history."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.batches import Ledger
from app.core.ribbon import Ribbon, ribbon_from_cdf, ribbon_from_window
from app.core.species import SPECIES
from app.core.windows import Window
from app.core.wording import age_words, day_words, many, span_words
from app.queries.batch_page import Next, what_next
from app.queries.books import books
from app.queries.brood_history import brood_history
from app.queries.history import Event
from app.queries.occupants import label_of
from app.queries.outlook import BatchOutlook, batch_outlooks, stepped
from app.queries.possible_sires import PossibleSire, possible_sires
from app.queries.sections import Place, places
from app.store.actor import Actor
from app.store.batches import Batch, BatchSex
from app.store.broods import Brood
from app.store.carryings import Carrying
from app.store.fish import Fish
from app.store.forecasts import Forecast, ForecastKind
from app.store.lines import Line
from app.store.pairings import Pairing
from app.store.session import find, rows
from app.store.stays import Stay


@dataclass(frozen=True, slots=True)
class Foretold:
    """What was first said of the drop, and whether it came true."""

    ribbon: Ribbon
    issued: str
    window: str
    verdict: str
    inside: bool


@dataclass(frozen=True, slots=True)
class BatchShown:
    """One batch of the brood: where, how many, and what comes next for it."""

    id: int
    code: str
    where: str
    sex: str
    alive: int
    closed: bool
    next: Next | None

    @property
    def mixed(self) -> bool:
        """Whether its sexes are still to be told apart."""
        return self.sex == BatchSex.MIXED


@dataclass(frozen=True, slots=True)
class BroodPage:
    """One brood."""

    id: int
    code: str
    dam_id: int
    dam: str
    line: str
    species: str
    pairing: tuple[int, str] | None
    when: str
    dropped_from: date
    dropped_to: date
    age: str
    live: int
    dead: int
    early: int
    note: str
    ledger: Ledger
    batches: tuple[BatchShown, ...]
    foretold: Foretold | None
    sires: tuple[PossibleSire, ...]
    history: tuple[Event, ...]

    @property
    def alive(self) -> int:
        """How many are still here, in all batches."""
        return sum(batch.alive for batch in self.batches)

    @property
    def open(self) -> tuple[BatchShown, ...]:
        """The batches that are still kept."""
        return tuple(batch for batch in self.batches if not batch.closed)


def brood_page(session: Session, actor: Actor, brood_id: int) -> BroodPage:
    """Read one brood."""
    brood = find(session, Brood, brood_id)
    dam = find(session, Fish, brood.dam_id)
    line = find(session, Line, brood.line_id)
    batches = rows(session, Batch, Batch.brood_id == brood.id)
    ledgers = books(session, actor.fishroom_id, [batch.id for batch in batches])
    pairing = find(session, Pairing, brood.pairing_id) if brood.pairing_id is not None else None
    where = places(session, actor)
    return BroodPage(
        brood.id,
        brood.code,
        dam.id,
        label_of(dam),
        line.name,
        SPECIES[line.species].common_name,
        (pairing.id, _pairing_words(actor, pairing, where)) if pairing is not None else None,
        span_words(brood.dropped_from, brood.dropped_to, actor.today),
        brood.dropped_from,
        brood.dropped_to,
        age_words(brood.dropped_from, brood.dropped_to, actor.today),
        brood.live,
        brood.dead,
        brood.early,
        brood.note,
        _together(list(ledgers.values())),
        _batches(session, actor, batches, ledgers, where),
        _foretold(session, actor, brood),
        possible_sires(session, actor, dam, brood),
        brood_history(session, actor, brood, dam, batches),
    )


def _pairing_words(actor: Actor, pairing: Pairing, where: dict[int, Place]) -> str:
    return f"{where[pairing.section_id].words}, since {day_words(pairing.started_on, actor.today)}"


def _together(ledgers: Sequence[Ledger]) -> Ledger:
    """Add up the books of all batches; what moved between them is neither gained nor lost."""
    return Ledger(
        alive=sum(each.alive for each in ledgers),
        lost=sum(each.lost for each in ledgers),
        rehomed=sum(each.rehomed for each in ledgers),
        kept=sum(each.kept for each in ledgers),
        found=sum(each.found for each in ledgers),
    )


def _batches(
    session: Session,
    actor: Actor,
    batches: Sequence[Batch],
    ledgers: dict[int, Ledger],
    where: dict[int, Place],
) -> tuple[BatchShown, ...]:
    ids = [batch.id for batch in batches]
    stands = {
        stay.batch_id: where[stay.section_id].words
        for stay in rows(session, Stay, Stay.batch_id.in_(ids), Stay.to_on.is_(None))
    }
    growing = [batch.id for batch in batches if batch.closed_on is None and ledgers[batch.id].alive]
    outlooks = batch_outlooks(session, actor, growing) if growing else {}
    return tuple(
        _batch(actor, batch, ledgers[batch.id].alive, stands.get(batch.id, ""), outlooks.get(batch.id))
        for batch in batches
    )


def _batch(actor: Actor, batch: Batch, alive: int, where: str, outlook: BatchOutlook | None) -> BatchShown:
    coming = what_next(outlook, actor.today) if outlook is not None else None
    return BatchShown(
        batch.id, batch.code, where, batch.sex.value, alive, closed=outlook is None, next=coming
    )


def _foretold(session: Session, actor: Actor, brood: Brood) -> Foretold | None:
    """Hold the drop against the window that was first shown for it."""
    statement = (
        select(Forecast)
        .join(Carrying, Carrying.id == Forecast.carrying_id)
        .where(
            Forecast.fishroom_id == actor.fishroom_id,
            Carrying.brood_id == brood.id,
            Forecast.kind == ForecastKind.BIRTH,
            Forecast.issued_on <= brood.dropped_to,
        )
        .order_by(Forecast.id)
        .limit(1)
    )
    said = session.scalar(statement)
    if said is None or said.from_80 is None or said.to_80 is None or said.median is None:
        return None
    inside = brood.dropped_from <= said.to_80 and said.from_80 <= brood.dropped_to
    return Foretold(
        _ribbon(said, Window(said.from_80, said.to_80), said.median, actor.today, brood.dropped_to),
        day_words(said.issued_on, actor.today),
        span_words(said.from_80, said.to_80, actor.today),
        _verdict(said.from_80, said.to_80, brood),
        inside,
    )


def _ribbon(said: Forecast, window: Window, median: date, today: date, truth: date) -> Ribbon:
    kept = [(date.fromisoformat(day), float(chance)) for day, chance in said.detail.get("cdf", ())]
    if not kept:
        return ribbon_from_window(window, today, median, truth, stage="carrying")
    return ribbon_from_cdf(stepped(kept), window, median, today, truth, stage="carrying")


def _verdict(start: date, end: date, brood: Brood) -> str:
    if brood.dropped_to < start:
        return f"It came {many((start - brood.dropped_to).days, 'day')} before the window."
    if brood.dropped_from > end:
        return f"It came {many((brood.dropped_from - end).days, 'day')} after the window."
    return "It came inside the window."
