"""One case: what is true now, what comes next, and all that happened."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.cautions import EVERY_CASE, Caution
from app.core.wording import begun
from app.queries.case_rows import CaseRow, case_rows
from app.queries.courses import (
    Lack,
    amount_asked,
    amount_words,
    level_now,
    off_course,
    salted_by,
)
from app.queries.history import Event, undoable
from app.queries.ledger import tank_ledgers
from app.queries.occupants import Occupant, occupants_by_section
from app.queries.plans import PlanShown, level_words, plans_shown
from app.queries.sections import places
from app.store.actor import Actor
from app.store.cases import Ailing, Case, CasePhoto, CaseSign
from app.store.journal import Act
from app.store.plans import Plan
from app.store.session import find, rows
from app.store.tanks import Tank

KINDS = {
    "open case": "case",
    "reopen case": "case",
    "close case": "done",
    "log case sign": "care",
    "case sign gone": "done",
    "do step": "done",
    "put back": "water",
    "dose": "water",
    "change water": "water",
    "top up": "water",
}
WATER = ("change water", "top up", "dose")
"""Acts on a tank's water that belong to the story of a case treated there."""


@dataclass(frozen=True, slots=True)
class SignShown:
    """A sign of a case, and since when or until when."""

    id: int
    kind: str
    seen_on: date
    gone_on: date | None
    note: str


@dataclass(frozen=True, slots=True)
class PhotoShown:
    """A photo of a case."""

    id: int
    width: int
    height: int
    taken_on: date
    note: str


@dataclass(frozen=True, slots=True)
class CasePage:
    """One case; ``stands`` is the tank of its subject, ``mates`` who else is in there.

    ``asked`` is how much the next step of each running plan asks for, ``over`` what the tanks of its courses
    hold too much of, ``salted`` the tanks that still hold salt when it is closed.
    """

    row: CaseRow
    stands: tuple[int, str] | None
    mates: tuple[Occupant, ...]
    signs: tuple[SignShown, ...]
    plans: tuple[PlanShown, ...]
    levels: tuple[tuple[str, str], ...]
    asked: dict[int, str]
    lacks: tuple[Lack, ...]
    over: tuple[str, ...]
    salted: tuple[tuple[int, str, str], ...]
    photos: tuple[PhotoShown, ...]
    history: tuple[Event, ...]
    alive: int
    cautions: tuple[Caution, ...] = EVERY_CASE

    @property
    def present(self) -> tuple[SignShown, ...]:
        """Signs that are still seen."""
        return tuple(sign for sign in self.signs if sign.gone_on is None)

    @property
    def gone(self) -> tuple[SignShown, ...]:
        """Signs that are seen no more."""
        return tuple(sign for sign in self.signs if sign.gone_on is not None)

    @property
    def unseen(self) -> tuple[str, ...]:
        """Signs that can still be added."""
        seen = {sign.kind for sign in self.present}
        return tuple(kind.value for kind in Ailing if kind.value not in seen)

    @property
    def running(self) -> tuple[PlanShown, ...]:
        """Plans that have not ended."""
        return tuple(plan for plan in self.plans if plan.running)


def case_page(session: Session, actor: Actor, case_id: int) -> CasePage:
    """Read one case in a fixed number of statements."""
    case = find(session, Case, case_id)
    (row,) = case_rows(session, actor, Case.id == case.id)
    plans = plans_shown(session, actor, Plan.case_id == case.id)
    stands, mates, alive = whereabouts(session, actor, case)
    waters = _waters(session, actor, plans)
    off = off_course(session, actor, plans)
    return CasePage(
        row,
        stands,
        mates,
        _signs(session, case),
        plans,
        waters.levels,
        waters.asked,
        off.lacks,
        off.over,
        salted_by(session, actor, plans) if case.closed_on is not None else (),
        _photos(session, case),
        _history(session, actor, case, plans),
        alive,
    )


def whereabouts(
    session: Session, actor: Actor, case: Case
) -> tuple[tuple[int, str] | None, tuple[Occupant, ...], int]:
    """Return the tank of the subject, who else is in it, and how many there are that could die."""
    where, standing = places(session, actor), occupants_by_section(session, actor)
    kind, number = ("fish", case.fish_id) if case.fish_id is not None else ("batch", case.batch_id)
    everyone = [(where[section_id], one) for section_id, found in standing.items() for one in found]
    self_ = next(((place, one) for place, one in everyone if (one.kind, one.id) == (kind, number)), None)
    if case.tank_id is not None:
        tank = find(session, Tank, case.tank_id)
        stands: tuple[int, str] | None = (tank.id, tank.name)
    else:
        stands = (self_[0].tank_id, self_[0].words) if self_ is not None else None
    mates = tuple(
        one
        for place, one in everyone
        if stands is not None and place.tank_id == stands[0] and (one.kind, one.id) != (kind, number)
    )
    return stands, mates, self_[1].number if self_ is not None else 0


def _signs(session: Session, case: Case) -> tuple[SignShown, ...]:
    found = rows(session, CaseSign, CaseSign.case_id == case.id, order=(CaseSign.seen_on, CaseSign.id))
    return tuple(SignShown(one.id, one.kind.value, one.seen_on, one.gone_on, one.note) for one in found)


def _photos(session: Session, case: Case) -> tuple[PhotoShown, ...]:
    order = (CasePhoto.taken_on.desc(), CasePhoto.id.desc())
    found = rows(session, CasePhoto, CasePhoto.case_id == case.id, order=order)
    return tuple(PhotoShown(one.id, one.width, one.height, one.taken_on, one.note) for one in found)


@dataclass(frozen=True, slots=True)
class _Waters:
    """What the tanks of running plans hold, and how much the next step of each asks for."""

    levels: tuple[tuple[str, str], ...]
    asked: dict[int, str]


def _waters(session: Session, actor: Actor, plans: Sequence[PlanShown]) -> _Waters:
    """Reckon the running plans by their tanks' ledgers; on the way to plain water it is the salt."""
    running = [plan for plan in plans if plan.running]
    if not running:
        return _Waters((), {})
    ledgers = tank_ledgers(session, actor, [plan.tank_id for plan in running])
    levels: dict[str, str] = {}
    asked: dict[int, str] = {}
    for plan in running:
        ledger = ledgers[plan.tank_id]
        made = ledger.substances.get(plan.substance_id or 0)
        level = level_now(ledger, made, actor.now)
        what = plan.substance or "salt"
        levels[f"{begun(what)} in {plan.tank}"] = (
            level_words(level, made) if level is not None else "not known"
        )
        amount = amount_asked(ledger, made, plan.next, actor.now) if made and plan.next else None
        asked[plan.id] = amount_words(made, amount) if made and amount is not None else ""
    return _Waters(tuple(levels.items()), asked)


def _history(session: Session, actor: Actor, case: Case, plans: Sequence[PlanShown]) -> tuple[Event, ...]:
    """Tell what was done for a case, and to the water of its tanks meanwhile, newest first."""
    subjects = [f"case:{case.id}", *(f"plan:{plan.id}" for plan in plans)]
    statement = select(Act).where(
        Act.fishroom_id == actor.fishroom_id,
        Act.undone_at.is_(None),
        Act.subject.in_(subjects)
        | (Act.subject.in_([f"tank:{plan.tank_id}" for plan in plans]) & Act.verb.in_(WATER)),
    )
    told = [
        (actor.day(act.at), act)
        for act in session.scalars(statement)
        if act.subject in subjects or _meanwhile(case, actor.day(act.at))
    ]
    told.sort(key=lambda each: (each[0], each[1].id), reverse=True)
    return tuple(_event(actor, day, act) for day, act in told)


def _meanwhile(case: Case, day: date) -> bool:
    return case.opened_on <= day and (case.closed_on is None or day <= case.closed_on)


def _event(actor: Actor, day: date, act: Act) -> Event:
    return Event(day, act.words, "", KINDS.get(act.verb, "note"), None, undoable(actor, act))
