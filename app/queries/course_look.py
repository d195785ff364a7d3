"""A course as it is looked over before it is saved: every dose, who else takes part, and what to mind."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

from sqlalchemy.orm import Session

from app.core.cautions import Caution
from app.core.dividers import Passing, passing
from app.core.quantities import show_length
from app.core.species import SPECIES
from app.core.water.course import GENTLE_G_PER_L, Dosing, steep
from app.core.water.ledger import Held, faded
from app.core.wording import begun, listed, many, weekday_words
from app.queries.bench.salt import spoon_words
from app.queries.courses import amount_words, level_now
from app.queries.evidence.waters import gains_of, key_of
from app.queries.ledger import TankLedger, tank_ledger
from app.queries.occupants import Occupant
from app.queries.plans import PlanShown, level_words, plans_shown
from app.queries.tanks import SectionShown, TankShown, tanks_page
from app.queries.water_forms import dose_cautions
from app.store.actor import Actor
from app.store.batches import LengthCheck
from app.store.plans import Plan
from app.store.session import find, rows
from app.store.tanks import SectionKind, Tank
from app.store.waters import Substance, SubstanceKind

NOON = time(12)
TOO_STEEP = Caution(
    f"A step raises the salt by more than {GENTLE_G_PER_L:g} g/L in a day (common practice). "
    "Smaller steps spare the fish.",
    "A steep rise",
)


@dataclass(frozen=True, slots=True)
class DoseLook:
    """One dose: its day, how much, by the spoon where that helps, and what the tank holds after it."""

    day: date
    day_words: str
    amount: str
    spoons: str
    level: str


@dataclass(frozen=True, slots=True)
class CourseLook:
    """The panel shown before a course is saved."""

    plan: PlanShown
    now: str
    doses: tuple[DoseLook, ...]
    decide_on: date
    mates: tuple[str, ...]
    advice: tuple[str, ...]
    cautions: tuple[Caution, ...]

    @property
    def rows(self) -> list[tuple[str, ...]]:
        """The doses as rows of a table; the column of spoons only where something is spooned."""
        return [
            (dose.day_words, dose.amount, *((dose.spoons,) if dose.spoons else ()), dose.level)
            for dose in self.doses
        ]


def course_look(session: Session, actor: Actor, plan_id: int, subject: tuple[str, int]) -> CourseLook:
    """Look over a course that is laid out, whether it is saved or not; ``subject`` is whom it is for."""
    (plan,) = plans_shown(session, actor, Plan.id == plan_id)
    substance, tank = find(session, Substance, plan.substance_id), find(session, Tank, plan.tank_id)
    ledger = tank_ledger(session, actor, tank.id)
    walk = tanks_page(session, actor).tanks
    here = next(one for one in walk if one.id == tank.id)
    others = [one for one in here.occupants if (one.kind, one.id) != subject]
    now, doses, planned = _doses(actor, plan, substance, ledger)
    too_steep = key_of(substance) is Held.SALT and steep(planned)
    return CourseLook(
        plan,
        now,
        doses,
        plan.steps[-1].due_on,
        tuple(_mate(one) for one in others),
        (*_isolation(session, here, others, walk), *_gaps(session, actor, here)),
        (*((TOO_STEEP,) if too_steep else ()), *dose_cautions(substance, tank)),
    )


def _doses(
    actor: Actor, plan: PlanShown, substance: Substance, ledger: TankLedger
) -> tuple[str, tuple[DoseLook, ...], list[Dosing]]:
    level = level_now(ledger, substance, actor.now)
    now = level_words(level, substance) if level is not None else "not known"
    level, each = level or 0.0, gains_of(substance).get(key_of(substance)) or 1.0
    found: list[DoseLook] = []
    planned: list[Dosing] = []
    before = actor.today
    for step in plan.steps:
        if step.level is None:
            continue
        level, before = _left(level, before, step.due_on, substance), step.due_on
        aim = step.level if step.kind == "raise to" else level + step.level * each
        amount = (aim - level) * ledger.litres / each
        planned.append(Dosing(step.due_on, amount, aim, aim - level))
        spoons = spoon_words(amount) if substance.kind is SubstanceKind.SALT else ""
        day, words = step.due_on, weekday_words(step.due_on, actor.today)
        amount_said, level_said = amount_words(substance, amount), level_words(aim, substance)
        found.append(DoseLook(day, words, amount_said, spoons, level_said))
        level = aim
    return now, tuple(found), planned


def _left(level: float, since: date, until: date, substance: Substance) -> float:
    """Return what is left of a substance by the day of the next dose."""
    first, second = (datetime.combine(day, NOON) for day in (since, until))
    return faded(level, first, second, substance.half_life_days) or 0.0


def _mate(one: Occupant) -> str:
    return one.label if one.kind == "fish" else f"{many(one.number, 'young', 'young')} of {one.label}"


def _isolation(
    session: Session, here: TankShown, others: Sequence[Occupant], walk: Sequence[TankShown]
) -> tuple[str, ...]:
    """Say who takes part in the course, and where it could be given to the patient alone."""
    if not others:
        return ()
    treated = {plan.tank_id for plan in rows(session, Plan, Plan.ended_on.is_(None))}
    free = [tank.name for tank in walk if tank.empty and tank.id not in {here.id, *treated}]
    parted = "A divider parts fish, not water: " if len(here.sections) > 1 else ""
    words = f"{parted}everyone in {here.name} takes part".strip()
    apart = (
        f"{listed(free[:3])} stand{'s' if len(free[:3]) == 1 else ''} free: there it could be given apart."
        if free
        else "A tub with a heater and an air stone gives one fish its course apart."
    )
    return (f"{begun(words)}. {apart}",)


def _gaps(session: Session, actor: Actor, here: TankShown) -> tuple[str, ...]:
    """Say whether young pass the gaps of the dividers and boxes they stand behind."""
    parted = [
        (one, gap)
        for section in here.sections
        if (gap := _gap_of(section, here)) is not None
        for one in section.occupants
        if one.kind == "batch"
    ]
    lengths = _lengths(session, [one for one, _ in parted])
    return tuple(_gap_words(actor, one, lengths[one.id], gap) for one, gap in parted)


def _gap_of(section: SectionShown, here: TankShown) -> float | None:
    """Return the gap that young of a section would pass: its own, else the widest of a divider beside it."""
    beside = (one.gap_mm for one in here.sections if one.gap_mm and one.kind != SectionKind.FRY_BOX.value)
    return section.gap_mm or max(beside, default=None)


def _lengths(session: Session, batches: Sequence[Occupant]) -> dict[int, float]:
    """Return how long the young of each batch are at least: as measured last, else as they were born."""
    found = {one.id: SPECIES[one.species].birth_tl_mm for one in batches}
    order = (LengthCheck.checked_on, LengthCheck.id)
    for check in rows(session, LengthCheck, LengthCheck.batch_id.in_(list(found)), order=order):
        found[check.batch_id] = min(check.lengths_mm) if check.lengths_mm else check.mean_mm
    return found


def _gap_words(actor: Actor, one: Occupant, length: float, gap: float) -> str:
    size, wide = show_length(length, actor.units), show_length(gap, actor.units)
    said = {
        Passing.THROUGH: f"get through the {wide} gap: look for them on both sides",
        Passing.MAY: f"may get through the {wide} gap: look for them on both sides",
        Passing.HELD: f"are held by the {wide} gap",
    }[passing(length, gap)]
    return f"The young of {one.label}, about {size} at the least, {said}."
