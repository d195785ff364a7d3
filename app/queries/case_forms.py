"""What the forms of a case begin with: whom it is about, what was said, what can be chosen."""

from dataclasses import dataclass
from datetime import date

from sqlalchemy.orm import Session

from app.core.cautions import EVERY_CASE, Caution
from app.core.wording import by_number
from app.queries.case_page import whereabouts
from app.queries.case_rows import CaseSubject, subject_of
from app.queries.choices import open_tanks
from app.queries.occupants import label_of
from app.store.actor import Actor
from app.store.batches import Batch
from app.store.cases import Case, CasePhoto, CaseSign
from app.store.fish import Fish
from app.store.session import find, rows
from app.store.tanks import Tank
from app.store.waters import Substance, SubstanceKind

KINDS = ("fish", "batch", "tank")


@dataclass(frozen=True, slots=True)
class CaseAsked:
    """Whom a new case is about, and their open case if there is one; else everyone who could be meant."""

    subject: CaseSubject | None
    open_case: tuple[int, str] | None
    tanks: tuple[tuple[int, str], ...]
    fish: tuple[tuple[int, str], ...]
    batches: tuple[tuple[int, str], ...]
    cautions: tuple[Caution, ...] = EVERY_CASE


def case_asked(session: Session, actor: Actor, kind: str, number: int | None) -> CaseAsked:
    """Read whom a case can be about."""
    actor.must_log()
    if kind not in KINDS:
        tanks, fish, batches = _everyone(session)
        return CaseAsked(None, None, tanks, fish, batches)
    subject = _subject(session, kind, number)
    about = {"fish": Case.fish_id, "batch": Case.batch_id, "tank": Case.tank_id}[kind]
    found = rows(session, Case, about == subject.id, Case.closed_on.is_(None), order=Case.id.desc())
    return CaseAsked(subject, (found[0].id, found[0].title) if found else None, (), (), ())


def _subject(session: Session, kind: str, number: int | None) -> CaseSubject:
    if kind == "fish":
        return subject_of(find(session, Fish, number), None, None)
    if kind == "batch":
        return subject_of(None, find(session, Batch, number), None)
    return subject_of(None, None, find(session, Tank, number))


def _everyone(session: Session) -> tuple[tuple[tuple[int, str], ...], ...]:
    fish = rows(session, Fish, Fish.left_on.is_(None))
    batches = rows(session, Batch, Batch.closed_on.is_(None))
    return (
        open_tanks(session),
        tuple((one.id, label_of(one)) for one in sorted(fish, key=lambda one: by_number(one.code))),
        tuple((one.id, one.code) for one in sorted(batches, key=lambda one: by_number(one.code))),
    )


@dataclass(frozen=True, slots=True)
class CaseSaid:
    """What was said of a case, for the form that corrects it."""

    id: int
    title: str
    opened_on: date
    suspected: str
    note: str


def case_said(session: Session, actor: Actor, case_id: int) -> CaseSaid:
    """Read what was said of a case."""
    actor.must_log()
    case = find(session, Case, case_id)
    return CaseSaid(case.id, case.title, case.opened_on, case.suspected, case.note)


@dataclass(frozen=True, slots=True)
class CourseAsked:
    """What a course can be planned with; ``substance`` is chosen, None for table salt not told yet."""

    case_id: int
    title: str
    subject: CaseSubject
    stands: tuple[int, str] | None
    tanks: tuple[tuple[int, str], ...]
    substances: tuple[tuple[int, str], ...]
    substance: tuple[int, str] | None
    salt: bool
    measure: str
    label: float | None


def course_asked(session: Session, actor: Actor, case_id: int, substance_id: int | None) -> CourseAsked:
    """Read what a course can be planned with; salt first, since it is asked for most."""
    actor.must_log()
    case = find(session, Case, case_id)
    stands, _, _ = whereabouts(session, actor, case)
    known = rows(session, Substance, Substance.retired_on.is_(None), order=Substance.name)
    known = sorted(known, key=lambda one: one.kind is not SubstanceKind.SALT)
    salts = [one for one in known if one.kind is SubstanceKind.SALT]
    chosen = find(session, Substance, substance_id) if substance_id else next(iter(salts), None)
    return CourseAsked(
        case.id,
        case.title,
        _of(session, case),
        stands,
        open_tanks(session),
        tuple((one.id, one.name) for one in known),
        (chosen.id, chosen.name) if chosen is not None else None,
        chosen is None or chosen.kind is SubstanceKind.SALT,
        chosen.measure.value if chosen is not None else "g",
        chosen.label_dose_per_l if chosen is not None else None,
    )


def _of(session: Session, case: Case) -> CaseSubject:
    if case.fish_id is not None:
        return _subject(session, "fish", case.fish_id)
    if case.batch_id is not None:
        return _subject(session, "batch", case.batch_id)
    return _subject(session, "tank", case.tank_id)


def sign_case(session: Session, sign_id: int) -> int:
    """Return the case of a sign."""
    return find(session, CaseSign, sign_id).case_id


def photo_case(session: Session, photo_id: int) -> int:
    """Return the case of a photo."""
    return find(session, CasePhoto, photo_id).case_id


def photo_digest(session: Session, photo_id: int) -> str:
    """Return what the file of a photo is called."""
    return find(session, CasePhoto, photo_id).digest
