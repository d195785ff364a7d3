"""The list of broods, and what the form of a drop needs to know beforehand."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import ColumnElement, Select, func, select
from sqlalchemy.orm import Session

from app.core.ribbon import Ribbon
from app.core.species import SPECIES, Species
from app.core.why import Why
from app.core.wording import day_words, in_ten, span_words
from app.queries.books import books
from app.queries.occupants import label_of
from app.queries.outlook import BirthOutlook, birth_outlooks
from app.queries.paging import Part, part
from app.queries.sections import Place, open_places, places
from app.store.actor import Actor
from app.store.batches import Batch
from app.store.broods import Brood
from app.store.carryings import Basis
from app.store.fish import Fish, Sex
from app.store.lines import Line
from app.store.session import find, rows
from app.store.stays import Stay

SHOWN = 30


@dataclass(frozen=True, slots=True)
class BroodRow:
    """One brood as a list tells it; ``alive`` counts its fry still in batches here."""

    id: int
    code: str
    dam_id: int
    dam: str
    line_id: int
    line: str
    species: str
    dropped_from: date
    dropped_to: date
    when: str
    age_days: int
    live: int
    dead: int
    early: int
    alive: int
    open: bool


@dataclass(frozen=True, slots=True)
class BroodsPage:
    """A part of the broods by the filter, newest first; how many have fry here; what can be filtered by."""

    broods: tuple[BroodRow, ...]
    part: Part
    open: int
    lines: tuple[tuple[int, str], ...]
    line_id: int | None
    state: str

    @property
    def any(self) -> bool:
        """Whether there is a brood at all, by whatever filter."""
        return bool(self.lines)


@dataclass(frozen=True, slots=True)
class DropPage:
    """A dam whose drop is to be logged: what was expected, and where the fry can be."""

    dam_id: int
    label: str
    line: str
    species: Species
    where: str
    section_id: int | None
    ribbon: Ribbon | None
    sentence: str
    chance: str
    overdue: bool
    carrying: bool
    last: str
    usual: str
    left: bool
    female: bool
    why: Why | None
    places: tuple[Place, ...]


def broods_page(
    session: Session,
    actor: Actor,
    line_id: int | None = None,
    state: str = "all",
    first: int = 0,
    step: int | None = None,
) -> BroodsPage:
    """Read ``step`` broods after the ``first``, of a line or all, that are open, closed or either."""
    alive = _alive(session, actor)
    asked = _asked(actor, line_id, state, alive)
    counted = select(func.count(Brood.id)).where(*asked)
    shown = part(first, step or SHOWN, session.scalar(counted) or 0)
    named = select(Line.id, Line.name).where(
        Line.id.in_(select(Brood.line_id).where(Brood.fishroom_id == actor.fishroom_id))
    )
    return BroodsPage(
        tuple(_rows(session, actor, alive, _newest(asked).offset(shown.first).limit(shown.step))),
        shown,
        session.scalar(counted.where(Brood.id.in_(alive))) or 0,
        tuple(
            sorted(((id_, name) for id_, name in session.execute(named)), key=lambda line: line[1].lower())
        ),
        line_id,
        state,
    )


def _alive(session: Session, actor: Actor) -> dict[int, int]:
    """Return how many fry of each brood are in batches here, where there are any."""
    batches = rows(session, Batch, Batch.brood_id.is_not(None), Batch.closed_on.is_(None))
    ledgers = books(session, actor.fishroom_id, [batch.id for batch in batches])
    alive: dict[int, int] = defaultdict(int)
    for batch in batches:
        alive[batch.brood_id or 0] += ledgers[batch.id].alive
    return {brood_id: number for brood_id, number in alive.items() if number > 0}


def _asked(
    actor: Actor, line_id: int | None, state: str, alive: Mapping[int, int]
) -> tuple[ColumnElement[bool], ...]:
    of_line = () if line_id is None else (Brood.line_id == line_id,)
    here = Brood.id.in_(alive)
    of_state = {"open": (here,), "closed": (~here,)}.get(state, ())
    return (Brood.fishroom_id == actor.fishroom_id, *of_line, *of_state)


def _newest(asked: Sequence[ColumnElement[bool]]) -> Select[Brood, Fish, Line]:
    return (
        select(Brood, Fish, Line)
        .join(Fish, Fish.id == Brood.dam_id)
        .join(Line, Line.id == Brood.line_id)
        .where(*asked)
        .order_by(Brood.dropped_to.desc(), Brood.id.desc())
    )


def _rows(
    session: Session, actor: Actor, alive: Mapping[int, int], wanted: Select[Brood, Fish, Line]
) -> Iterator[BroodRow]:
    for brood, dam, line in session.execute(wanted):
        yield _row(actor, brood, dam, line, alive.get(brood.id, 0))


def _row(actor: Actor, brood: Brood, dam: Fish, line: Line, alive: int) -> BroodRow:
    return BroodRow(
        brood.id,
        brood.code,
        dam.id,
        label_of(dam),
        line.id,
        line.name,
        SPECIES[line.species].common_name,
        brood.dropped_from,
        brood.dropped_to,
        span_words(brood.dropped_from, brood.dropped_to, actor.today),
        (actor.today - brood.dropped_to).days,
        brood.live,
        brood.dead,
        brood.early,
        alive,
        alive > 0,
    )


CSV_HEAD = (
    "brood", "dam", "line", "species", "dropped_from", "dropped_to", "live", "dead", "early", "alive_now"
)  # fmt: skip


def broods_table(
    session: Session, actor: Actor, line_id: int | None = None, state: str = "all"
) -> list[tuple[str, ...]]:
    """Return all broods by the filter as rows of text under :data:`CSV_HEAD`."""
    alive = _alive(session, actor)
    wanted = _newest(_asked(actor, line_id, state, alive))
    return [
        (
            row.code, row.dam, row.line, row.species,
            row.dropped_from.isoformat(), row.dropped_to.isoformat(),
            str(row.live), str(row.dead), str(row.early), str(row.alive),
        )
        for row in _rows(session, actor, alive, wanted)
    ]  # fmt: skip


def drop_page(session: Session, actor: Actor, dam_id: int) -> DropPage:
    """Read what is known of a dam whose drop is to be logged."""
    dam = find(session, Fish, dam_id)
    line = find(session, Line, dam.line_id)
    species = SPECIES[line.species]
    stays = rows(session, Stay, Stay.fish_id == dam.id, Stay.to_on.is_(None))
    section_id = stays[0].section_id if stays else None
    outlook = birth_outlooks(session, actor, [dam.id]).get(dam.id)
    broods = rows(session, Brood, Brood.dam_id == dam.id, order=(Brood.dropped_to.desc(), Brood.id))
    where = places(session, actor)
    return DropPage(
        dam.id,
        label_of(dam),
        line.name,
        species,
        where[section_id].words if section_id is not None else "",
        section_id,
        outlook.ribbon if outlook is not None else None,
        _sentence(actor, outlook),
        in_ten(outlook.forecast.p_carrying) if outlook is not None else "",
        outlook is not None and outlook.forecast.overdue,
        outlook is not None,
        _last(actor, broods),
        f"{species.brood_p10:g} to {species.brood_p90:g}",
        dam.left_on is not None,
        dam.sex is Sex.FEMALE,
        outlook.forecast.why if outlook is not None else None,
        tuple(open_places(session, actor)),
    )


def _sentence(actor: Actor, outlook: BirthOutlook | None) -> str:
    if outlook is None:
        return "No drop was expected of her; log it all the same."
    if outlook.ribbon is not None:
        return outlook.ribbon.sentence
    began = day_words(outlook.case.carrying.started_on, actor.today)
    since = {Basis.EXPOSURE: "exposed", Basis.LAST_DROP: "dropped last", Basis.ARRIVAL: "came"}
    return f"No single date is given: {since[outlook.case.carrying.basis]} {began}."


def _last(actor: Actor, broods: Sequence[Brood]) -> str:
    if not broods:
        return ""
    last = broods[0]
    when = span_words(last.dropped_from, last.dropped_to, actor.today)
    return f"{when}, {last.live} live, {(actor.today - last.dropped_to).days} days ago"
