"""What the rules about care look at: fry and their stages, room and nitrate of tanks, readings astray."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from sqlalchemy import and_, func, or_, select
from sqlalchemy.orm import Session

from app.core.fry_care import Care, litres_wanted, merged, usual
from app.core.reminders import FryFact, NitrateFact, RoomFact, StrayFact
from app.core.species import SPECIES
from app.core.water.nitrate import CEILING_MG_PER_L
from app.core.water.targets import FRESH_DAYS
from app.core.windows import Window
from app.queries.ledger import Recent, recent
from app.queries.nitrate import LOOK_BACK_DAYS, nitrate_ahead
from app.queries.outlook import BatchOutlook
from app.queries.quantities import KEPT, show_reading
from app.queries.targets import Wanted, range_words, targets_of
from app.store.actor import Actor
from app.store.batches import BatchSex
from app.store.fish import Fish, Sex
from app.store.fishrooms import Fishroom
from app.store.lines import Line
from app.store.readings import RAW, Quantity, Reading, ReadingDay, by_hand
from app.store.session import rows
from app.store.stays import Stay
from app.store.tanks import Section, SectionKind, Tank
from app.store.waters import FryCare, WaterChange, WaterMove

MANY_A_DAY = 6
"""From so many readings a day on they come from a logger: a whole spell astray is one occasion."""
OLDER_DAYS = 60
"""Fish of such an age eat fry that a sister of theirs could not (judgement)."""
WELL_BELOW = 0.8
"""So much of their kind's greatest length is what grown fish have in a tank (judgement)."""


@dataclass(frozen=True, slots=True)
class Caring:
    """The facts of one morning about care."""

    fry: tuple[FryFact, ...]
    rooms: tuple[RoomFact, ...]
    strays: tuple[StrayFact, ...]
    box_days: int


@dataclass(frozen=True, slots=True)
class Stand:
    """A fish with its line, or a batch, where it stands."""

    fish: Fish | None
    line: Line | None
    batch_id: int | None
    tank_id: int
    section_id: int
    since: date
    boxed: bool


def stands(session: Session, actor: Actor) -> list[Stand]:
    """Return who stands where, in one statement."""
    statement = (
        select(Fish, Line, Stay.batch_id, Section.tank_id, Section.id, Stay.from_on, Section.kind)
        .select_from(Stay)
        .join(Section, Section.id == Stay.section_id)
        .outerjoin(Fish, Fish.id == Stay.fish_id)
        .outerjoin(Line, Line.id == Fish.line_id)
        .where(Stay.fishroom_id == actor.fishroom_id, Stay.to_on.is_(None))
    )
    return [
        Stand(fish, line, batch_id, tank_id, section_id, since, kind is SectionKind.FRY_BOX)
        for fish, line, batch_id, tank_id, section_id, since, kind in session.execute(statement)
    ]


def care_facts(
    session: Session, actor: Actor, found: Sequence[Stand], batches: Mapping[int, BatchOutlook]
) -> Caring:
    """Read and reckon them in a fixed number of statements."""
    tanks = rows(session, Tank, Tank.closed_on.is_(None), order=(Tank.position, Tank.id))
    wanted = targets_of(session, _lines_in(found, batches))
    days = _days_read(session, actor)
    lines = {one.case.line.id: one.case.line for one in batches.values()}
    fishroom = session.get_one(Fishroom, actor.fishroom_id)
    return Caring(
        tuple(_fry(found, batches, care_tables(session, lines) if lines else {})),
        _rooms(
            actor,
            tanks,
            found,
            batches,
            fishroom.room_share,
            _changed(session, actor),
            _nitrate(session, actor, tanks, wanted, days),
        ),
        tuple(_strays(actor, tanks, wanted, days, _tested(session, actor))),
        fishroom.box_days,
    )


def _lines_in(found: Sequence[Stand], batches: Mapping[int, BatchOutlook]) -> dict[int, list[Line]]:
    """Return the lines that stand in each tank."""
    lines: dict[int, dict[int, Line]] = defaultdict(dict)
    for stand in found:
        line = stand.line
        if stand.batch_id is not None and _alive(batches, stand.batch_id):
            line = batches[stand.batch_id].case.line
        if line is not None:
            lines[stand.tank_id][line.id] = line
    return {tank_id: [own[key] for key in sorted(own)] for tank_id, own in lines.items()}


def _alive(batches: Mapping[int, BatchOutlook], batch_id: int) -> bool:
    return batch_id in batches and batches[batch_id].ledger.alive > 0


def care_tables(session: Session, lines: Mapping[int, Line]) -> dict[int, tuple[Care, ...]]:
    """Return each line's stages: the usual ones, over them the fishroom's, over them its own."""
    own: dict[int | None, list[Care]] = defaultdict(list)
    for row in rows(session, FryCare):
        own[row.line_id].append(
            Care(row.from_age_days, row.feeds_a_day, row.change_every_days, row.change_fraction)
        )
    return {
        line.id: merged(usual(SPECIES[line.species].birth_tl_mm), own[None], own[line.id])
        for line in lines.values()
    }


def _fry(
    found: Sequence[Stand], batches: Mapping[int, BatchOutlook], tables: Mapping[int, tuple[Care, ...]]
) -> Iterator[FryFact]:
    fish: dict[int, list[Fish]] = defaultdict(list)
    for stand in found:
        if stand.fish is not None:
            fish[stand.section_id].append(stand.fish)
    for stand in found:
        outlook = batches.get(stand.batch_id) if stand.batch_id is not None else None
        if outlook is None or outlook.ledger.alive == 0:
            continue
        batch, born = outlook.case.batch, outlook.case.born
        yield FryFact(
            batch.id,
            batch.code,
            stand.tank_id,
            born,
            max(stand.since, born),
            tables[batch.line_id],
            stand.since if stand.boxed else None,
            _grown(fish[stand.section_id], born) if batch.sex is BatchSex.MIXED else (),
        )


def _grown(fish: Sequence[Fish], born: date) -> tuple[str, ...]:
    """Return the codes of fish far older than fry born on a day; one of unknown age came here grown."""
    limit = born - timedelta(days=OLDER_DAYS)
    return tuple(sorted(one.code for one in fish if one.born_on is None or one.born_on < limit))


def _rooms(
    actor: Actor,
    tanks: Sequence[Tank],
    found: Sequence[Stand],
    batches: Mapping[int, BatchOutlook],
    share: float,
    changed: Mapping[int, date],
    nitrate: Mapping[int, NitrateFact],
) -> tuple[RoomFact, ...]:
    room: dict[int, list[tuple[int, float]]] = defaultdict(list)
    for stand in found:
        room[stand.tank_id].append(_room(stand, batches, actor.today))
    return tuple(
        RoomFact(
            tank.id,
            tank.name,
            tank.litres,
            changed.get(tank.id),
            sum(number for number, _ in room[tank.id]),
            share * sum(litres for _, litres in room[tank.id]),
            nitrate.get(tank.id),
        )
        for tank in tanks
    )


def _room(stand: Stand, batches: Mapping[int, BatchOutlook], today: date) -> tuple[int, float]:
    """Return how many stand there, and the litres they are given room for."""
    if stand.fish is not None and stand.line is not None:
        kind = SPECIES[stand.line.species]
        grown = kind.linf_m_mm if stand.fish.sex is Sex.MALE else kind.linf_f_mm
        return 1, litres_wanted(WELL_BELOW * grown)
    outlook = batches.get(stand.batch_id) if stand.batch_id is not None else None
    if outlook is None:
        return 0, 0.0
    alive = outlook.ledger.alive
    lengths = [point.median_mm for point in outlook.growth.curve if point.day <= today]
    length = lengths[-1] if lengths else outlook.case.species.birth_tl_mm
    return alive, alive * litres_wanted(length)


def _changed(session: Session, actor: Actor) -> dict[int, date]:
    statement = (
        select(WaterChange.tank_id, func.max(WaterChange.done_at))
        .where(WaterChange.fishroom_id == actor.fishroom_id, WaterChange.kind == WaterMove.CHANGE)
        .group_by(WaterChange.tank_id)
    )
    return {tank_id: actor.day(at) for tank_id, at in session.execute(statement)}


Days = Mapping[tuple[int, Quantity], Sequence[ReadingDay]]


def _days_read(session: Session, actor: Actor) -> Days:
    """Return the days on which something was read of late, by tank and quantity; of nitrate further back."""
    found: dict[tuple[int, Quantity], list[ReadingDay]] = defaultdict(list)
    fresh = ReadingDay.day >= actor.today - timedelta(days=FRESH_DAYS)
    back = ReadingDay.day >= actor.today - timedelta(days=LOOK_BACK_DAYS)
    wanted = or_(fresh, and_(back, ReadingDay.quantity == Quantity.NITRATE))
    for day in rows(session, ReadingDay, wanted, order=ReadingDay.day):
        found[day.tank_id, day.quantity].append(day)
    return found


def _nitrate(
    session: Session,
    actor: Actor,
    tanks: Sequence[Tank],
    wanted: Mapping[int, Mapping[str, Wanted]],
    days: Days,
) -> dict[int, NitrateFact]:
    """Return when nitrate is too much in each tank where it was tested of late."""
    tested = {tank_id: read[-1].day for (tank_id, what), read in days.items() if what is Quantity.NITRATE}
    since = actor.now - timedelta(days=LOOK_BACK_DAYS + 1)  # a civil day may begin before or after
    ledgers = recent(session, actor, list(tested), since) if tested else {}
    found = {}
    for tank in tanks:
        if tank.id in ledgers:
            fact = _reached(actor, tank, ledgers[tank.id], _ceiling(wanted.get(tank.id)), tested[tank.id])
            if fact is not None:
                found[tank.id] = fact
    return found


def _ceiling(wanted: Mapping[str, Wanted] | None) -> float:
    own = (wanted or {}).get(Quantity.NITRATE.value)
    return own.range.high if own is not None and own.range.high is not None else CEILING_MG_PER_L


def _reached(actor: Actor, tank: Tank, ledger: Recent, ceiling: float, tested: date) -> NitrateFact | None:
    said = nitrate_ahead(actor, ledger, tank.feed_g_per_day, ceiling).outlook
    if said is None:
        return None
    above = said.today_mg_per_l >= ceiling
    reaches = Window(actor.today, actor.today, 0.8) if above else said.reaches
    median = actor.today if above else said.median
    if reaches is None or median is None:
        return None
    last = max((event.at.date() for event in ledger.events), default=tested)
    return NitrateFact(said.today_mg_per_l, ceiling, reaches, median, f"{max(last, tested)}")


@dataclass(frozen=True, slots=True)
class Last:
    """What was last read of a quantity in a tank; a logger says it by the mean of the day."""

    value: float
    day: date
    mark: str


def _tested(session: Session, actor: Actor) -> dict[tuple[int, Quantity], Last]:
    """Return the last that people read of late in each tank, by quantity."""
    since = actor.now - timedelta(days=FRESH_DAYS)
    tested = by_hand(None, tuple(Quantity), actor.fishroom_id).where(RAW.taken_at >= since)
    statement = (
        select(Reading.tank_id, Reading.quantity, Reading.taken_at, Reading.value)
        .where(Reading.fishroom_id == actor.fishroom_id, Reading.id.in_(tested))
        .order_by(Reading.taken_at, Reading.id)
    )
    return {
        (tank_id, quantity): Last(value, actor.day(at), f"{at:%Y-%m-%dT%H:%M:%S}")
        for tank_id, quantity, at, value in session.execute(statement)
    }


def _strays(
    actor: Actor,
    tanks: Sequence[Tank],
    wanted: Mapping[int, Mapping[str, Wanted]],
    found: Days,
    tested: Mapping[tuple[int, Quantity], Last],
) -> Iterator[StrayFact]:
    """Return the last reading of each quantity where it lies outside what is wanted, if it is fresh."""
    for tank in tanks:
        for quantity in Quantity:
            aim, days = wanted.get(tank.id, {}).get(quantity.value), found.get((tank.id, quantity))
            if aim is None or not days or quantity is Quantity.NITRATE:
                continue
            last = _last(days, tested.get((tank.id, quantity)), aim)
            if not aim.range.holds(last.value):
                yield _stray(actor, tank, quantity, aim, last)


def _last(days: Sequence[ReadingDay], tested: Last | None, aim: Wanted) -> Last:
    """Return the last reading, of a logger the last day; a logger's whole spell astray is one occasion."""
    last = days[-1]
    if last.number < MANY_A_DAY:
        return (
            tested
            if tested is not None and tested.day >= last.day
            else Last(last.mean, last.day, f"{last.day}")
        )
    first = last.day
    for day in reversed(days):
        if aim.range.holds(day.mean):
            break
        first = day.day
    return Last(last.mean, last.day, f"{first}")


def _stray(actor: Actor, tank: Tank, quantity: Quantity, aim: Wanted, last: Last) -> StrayFact:
    low = aim.range.low
    return StrayFact(
        tank.id,
        tank.name,
        quantity.value,
        KEPT[quantity].title,
        show_reading(quantity, last.value, actor.units),
        f"{range_words(quantity, aim.range, actor.units)}{aim.whose}",
        low is None or last.value >= low,
        last.day,
        last.mark,
    )
