"""Cases: opening one, the signs that come and go, its photos, and how it ends."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy.orm import Session

from app.core.wording import begun, day_words, listed
from app.queries.occupants import label_of
from app.services.case_endings import leave_with
from app.services.journal import Entry
from app.services.plans import finish
from app.services.refusals import Refused
from app.services.stays import not_ahead
from app.store.actor import Actor
from app.store.batches import Batch
from app.store.cases import Ailing, Case, CaseOutcome, CaseSign
from app.store.fish import Fish
from app.store.plans import Plan, PlanKind
from app.store.session import find, rows
from app.store.tanks import Tank

LONGEST_TITLE = 120


@dataclass(frozen=True, slots=True)
class Subject:
    """Whom a case is about: one fish, one batch or one tank."""

    fish_id: int | None = None
    batch_id: int | None = None
    tank_id: int | None = None


@dataclass(frozen=True, slots=True)
class CaseTold:
    """What the keeper says of a case; without a title it is called by its signs."""

    opened_on: date
    title: str = ""
    suspected: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Ending:
    """How a case ended; ``gone`` is how many of a batch were lost with it, or 1 for the fish."""

    on: date
    outcome: CaseOutcome
    what_helped: str = ""
    gone: int = 0


def open_case(
    session: Session, actor: Actor, about: Subject, told: CaseTold, signs: Sequence[Ailing]
) -> Case:
    """Open a case with the signs seen on its first day."""
    actor.must_log()
    not_ahead(actor, told.opened_on, "opened_on")
    if not signs:
        raise Refused("What was seen? Choose at least one sign.", "signs")
    name = _name(session, actor, about, told.opened_on)
    entry = Entry(session, actor, "open case")
    case = entry.add(
        Case(
            fish_id=about.fish_id,
            batch_id=about.batch_id,
            tank_id=about.tank_id,
            title=_title(told.title, signs),
            opened_on=told.opened_on,
            suspected=told.suspected.strip(),
            note=told.note.strip(),
        )
    )
    for sign in dict.fromkeys(signs):
        entry.add(CaseSign(case_id=case.id, kind=sign, seen_on=told.opened_on))
    entry.tell(subject_of(case), f"{name}: case opened, {case.title.lower()}")
    return case


def _title(title: str, signs: Sequence[Ailing]) -> str:
    given = title.strip()
    if len(given) > LONGEST_TITLE:
        raise Refused(f"Give a title of at most {LONGEST_TITLE} letters.", "title")
    words = given or listed([sign.value for sign in dict.fromkeys(signs)])
    return begun(words)[:LONGEST_TITLE]


def _name(session: Session, actor: Actor, about: Subject, on: date) -> str:
    """Return what the subject is called; refuse none, several, and a day before it was there."""
    told = [each for each in (about.fish_id, about.batch_id, about.tank_id) if each is not None]
    if len(told) != 1:
        raise Refused("Whom is it about? Choose one fish, one batch or one tank.", "subject")
    if about.tank_id is not None:
        return f"Tank {find(session, Tank, about.tank_id).name}"
    if about.batch_id is not None:
        batch = find(session, Batch, about.batch_id)
        _not_before(actor, batch.code, batch.started_on, on)
        return batch.code
    fish = find(session, Fish, about.fish_id)
    _not_before(actor, fish.code, fish.arrived_on, on)
    return label_of(fish)


def _not_before(actor: Actor, who: str, since: date, on: date) -> None:
    if on < since:
        began = day_words(since, actor.today)
        raise Refused(f"{who} is here since {began}. Give that day or later.", "opened_on")


def edit_case(session: Session, actor: Actor, case_id: int, told: CaseTold) -> Case:
    """Correct what is said of a case."""
    actor.must_log()
    not_ahead(actor, told.opened_on, "opened_on")
    case = find(session, Case, case_id)
    _name(session, actor, Subject(case.fish_id, case.batch_id, case.tank_id), told.opened_on)
    signs = rows(session, CaseSign, CaseSign.case_id == case.id, order=(CaseSign.seen_on, CaseSign.id))
    if case.closed_on is not None and told.opened_on > case.closed_on:
        raise Refused(
            f"It was closed on {day_words(case.closed_on, actor.today)}. Give that day or earlier.",
            "opened_on",
        )
    entry = Entry(session, actor, "edit case")
    entry.change(
        case,
        title=_title(told.title, [sign.kind for sign in signs] or [Ailing.OTHER]),
        opened_on=told.opened_on,
        suspected=told.suspected.strip(),
        note=told.note.strip(),
    )
    entry.tell(subject_of(case), f"Case corrected: {case.title.lower()}")
    return case


def log_sign(
    session: Session, actor: Actor, case_id: int, *, kind: Ailing, seen_on: date, note: str = ""
) -> CaseSign:
    """Log one more sign of an open case."""
    actor.must_log()
    not_ahead(actor, seen_on, "seen_on")
    case = still_open(session, case_id)
    if seen_on < case.opened_on:
        began = day_words(case.opened_on, actor.today)
        raise Refused(f"The case was opened on {began}. Change that day first.", "seen_on")
    if rows(
        session, CaseSign, CaseSign.case_id == case.id, CaseSign.kind == kind, CaseSign.gone_on.is_(None)
    ):
        raise Refused(f"{kind.value.capitalize()}: logged already, and not gone yet.", "kind")
    entry = Entry(session, actor, "log case sign")
    sign = entry.add(CaseSign(case_id=case.id, kind=kind, seen_on=seen_on, note=note.strip()))
    entry.tell(subject_of(case), f"{kind.value.capitalize()} seen on {day_words(seen_on, actor.today)}")
    return sign


def sign_gone(session: Session, actor: Actor, sign_id: int, *, on: date) -> CaseSign:
    """Log that a sign was seen no more."""
    actor.must_log()
    not_ahead(actor, on, "on")
    sign = find(session, CaseSign, sign_id)
    case = still_open(session, sign.case_id)
    if sign.gone_on is not None:
        gone = day_words(sign.gone_on, actor.today)
        raise Refused(f"{sign.kind.value.capitalize()} is gone since {gone}.", "on")
    if on < sign.seen_on:
        raise Refused(f"It was seen on {day_words(sign.seen_on, actor.today)}. Give that day or later.", "on")
    entry = Entry(session, actor, "case sign gone")
    entry.change(sign, gone_on=on)
    entry.tell(subject_of(case), f"{sign.kind.value.capitalize()} gone on {day_words(on, actor.today)}")
    return sign


def close_case(session: Session, actor: Actor, case_id: int, ending: Ending) -> Case:
    """Close a case: its outcome, what helped, its courses, and those that did not live."""
    actor.must_log()
    not_ahead(actor, ending.on, "on")
    case = still_open(session, case_id)
    if ending.on < case.opened_on:
        began = day_words(case.opened_on, actor.today)
        raise Refused(f"The case was opened on {began}. Give that day or later.", "on")
    entry = Entry(session, actor, "close case")
    leave_with(entry, case, ending.on, ending.outcome, ending.gone)
    for plan in rows(session, Plan, Plan.case_id == case.id, Plan.ended_on.is_(None)):
        if plan.kind is PlanKind.COURSE:
            finish(entry, plan, max(ending.on, plan.started_on), ending.outcome.value)
    if ending.outcome is CaseOutcome.RECOVERED:
        _signs_over(entry, case, ending.on)
    entry.change(case, closed_on=ending.on, outcome=ending.outcome, what_helped=ending.what_helped.strip())
    closed = day_words(ending.on, actor.today)
    entry.tell(subject_of(case), f"{case.title}: closed on {closed}, {ending.outcome.value}")
    return case


def _signs_over(entry: Entry, case: Case, on: date) -> None:
    """Let every sign of a recovered subject be gone."""
    for sign in rows(entry.session, CaseSign, CaseSign.case_id == case.id, CaseSign.gone_on.is_(None)):
        entry.change(sign, gone_on=max(on, sign.seen_on))


def reopen(session: Session, actor: Actor, case_id: int) -> Case:
    """Open a closed case again."""
    actor.must_log()
    case = find(session, Case, case_id)
    if case.closed_on is None:
        raise Refused("This case is open.", "case")
    entry = Entry(session, actor, "reopen case")
    entry.change(case, closed_on=None, outcome=None)
    entry.tell(subject_of(case), f"{case.title}: case opened again")
    return case


def still_open(session: Session, case_id: int) -> Case:
    """Return a case that can be gone on with."""
    case = find(session, Case, case_id)
    if case.closed_on is not None:
        raise Refused(f"This case was closed on {day_words(case.closed_on)}. Open it again first.", "case")
    return case


def subject_of(case: Case) -> str:
    """Return whose page a case's acts belong to: its own."""
    return f"case:{case.id}"
