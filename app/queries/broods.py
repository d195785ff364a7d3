"""The list of broods, and what the form of a drop needs to know beforehand."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import select
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
    """Broods by the filter, newest first, the part of them that is shown, and what can be filtered by."""

    broods: tuple[BroodRow, ...]
    part: Part
    lines: tuple[tuple[int, str], ...]
    line_id: int | None
    state: str
    any: bool

    @property
    def shown(self) -> tuple[BroodRow, ...]:
        """The broods of this part."""
        return self.broods[self.part.first : self.part.last]


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
    session: Session, actor: Actor, line_id: int | None = None, state: str = "all", first: int = 0
) -> BroodsPage:
    """Read the broods of a line (of all unless said) that are open, closed or either, after the ``first``."""
    every = _rows(session, actor)
    lines = dict.fromkeys((row.line_id, row.line) for row in every)
    kept = [
        row
        for row in every
        if (line_id is None or row.line_id == line_id)
        and (state not in {"open", "closed"} or row.open == (state == "open"))
    ]
    names = tuple(sorted(lines, key=lambda pair: pair[1].lower()))
    return BroodsPage(tuple(kept), part(first, SHOWN, len(kept)), names, line_id, state, bool(every))


def _rows(session: Session, actor: Actor) -> list[BroodRow]:
    statement = (
        select(Brood, Fish, Line)
        .join(Fish, Fish.id == Brood.dam_id)
        .join(Line, Line.id == Brood.line_id)
        .where(Brood.fishroom_id == actor.fishroom_id)
        .order_by(Brood.dropped_to.desc(), Brood.id.desc())
    )
    found = session.execute(statement).all()
    batches = rows(session, Batch, Batch.brood_id.is_not(None), Batch.closed_on.is_(None))
    ledgers = books(session, actor.fishroom_id, [batch.id for batch in batches])
    alive: dict[int, int] = defaultdict(int)
    for batch in batches:
        alive[batch.brood_id or 0] += ledgers[batch.id].alive
    return [_row(actor, brood, dam, line, alive[brood.id]) for brood, dam, line in found]


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


def broods_table(page: BroodsPage) -> list[tuple[str, ...]]:
    """Return the list as rows of text under :data:`CSV_HEAD`."""
    return [
        (
            row.code, row.dam, row.line, row.species,
            row.dropped_from.isoformat(), row.dropped_to.isoformat(),
            str(row.live), str(row.dead), str(row.early), str(row.alive),
        )
        for row in page.broods
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
