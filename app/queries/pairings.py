"""The pairing pages: who was put with whom, since when, and what came of it."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.ribbon import Ribbon
from app.core.species import Species
from app.core.why import Why
from app.core.wording import carrying_words
from app.queries.history import Event, act_of_rows
from app.queries.occupants import label_of
from app.queries.outlook import BirthOutlook, birth_outlooks, birth_ribbons
from app.queries.paging import Part, part
from app.queries.sections import Place, places
from app.store.actor import Actor
from app.store.broods import Brood
from app.store.carryings import Carrying
from app.store.fish import Fish, Sex
from app.store.journal import Act
from app.store.lines import Line
from app.store.pairings import Pairing, PairingMember
from app.store.projects import Project
from app.store.session import find, rows

SHOWN = 20


@dataclass(frozen=True, slots=True)
class Member:
    """One fish of a pairing."""

    id: int
    label: str
    sex: str
    line: str
    here: bool


@dataclass(frozen=True, slots=True)
class PairingShown:
    """One pairing as a list tells it."""

    id: int
    where: str
    tank_id: int
    started_on: date
    ended_on: date | None
    dams: tuple[Member, ...]
    sires: tuple[Member, ...]
    lines: tuple[str, ...]
    broods: int
    note: str

    @property
    def title(self) -> str:
        """Who was put with whom."""
        hers = ", ".join(dam.label for dam in self.dams)
        return f"{hers} × {', '.join(sire.label for sire in self.sires)}"


@dataclass(frozen=True, slots=True)
class PairingsPage:
    """Running pairings, those that ended, and the part of these that is shown."""

    running: tuple[PairingShown, ...]
    ended: tuple[PairingShown, ...]
    part: Part
    lines: tuple[tuple[int, str], ...]
    line_id: int | None

    @property
    def ended_shown(self) -> tuple[PairingShown, ...]:
        """The ended ones of this part."""
        return self.ended[self.part.first : self.part.last]


@dataclass(frozen=True, slots=True)
class DamWaiting:
    """One dam of a pairing and what comes next for her."""

    id: int
    label: str
    sentence: str
    ribbon: Ribbon | None
    overdue: bool
    broods: int
    why: Why | None
    graded: str = ""

    @property
    def waits(self) -> bool:
        """Whether a drop is awaited of her."""
        return self.why is not None


@dataclass(frozen=True, slots=True)
class PairingPage:
    """One pairing: true now, next for each dam, and what happened."""

    shown: PairingShown
    section_id: int
    project: tuple[int, str] | None
    dams: tuple[DamWaiting, ...]
    history: tuple[Event, ...]


def pairing_behind(
    session: Session, dam: Fish, ended: Carrying | None, dropped_on: date, species: Species
) -> Pairing | None:
    """Return the pairing that a drop most likely comes from, going by days.

    That is the one the wait began with; else the newest she was in that began at least half an
    interval before the drop (a brood is fertilised about when the last one is born) and has not ended
    longer ago than her species keeps sperm.
    """
    if ended is not None and ended.pairing_id is not None:
        return find(session, Pairing, ended.pairing_id)
    hers = select(PairingMember.pairing_id).where(PairingMember.fish_id == dam.id)
    latest = dropped_on - timedelta(days=round(0.5 * species.interval_days))
    oldest = dropped_on - timedelta(days=round(max(species.storage_days, 1.5 * species.interval_days)))
    found = rows(
        session,
        Pairing,
        Pairing.id.in_(hers),
        Pairing.started_on <= latest,
        (Pairing.ended_on.is_(None)) | (Pairing.ended_on >= oldest),
        order=(Pairing.started_on.desc(), Pairing.id.desc()),
    )
    return found[0] if found else None


def pairings_page(session: Session, actor: Actor, line_id: int | None = None, first: int = 0) -> PairingsPage:
    """Read every pairing, newest first; of the ended ones a part is shown."""
    found = rows(session, Pairing, order=(Pairing.started_on.desc(), Pairing.id.desc()))
    every = _all_shown(session, actor, found)
    used = {name for each in every for name in each.lines}
    lines = {line.id: line.name for line in rows(session, Line, order=(Line.name, Line.id))}
    shown = [each for each in every if line_id is None or lines.get(line_id) in each.lines]
    ended = tuple(each for each in shown if each.ended_on is not None)
    return PairingsPage(
        tuple(each for each in shown if each.ended_on is None),
        ended,
        part(first, SHOWN, len(ended)),
        tuple((number, name) for number, name in lines.items() if name in used),
        line_id,
    )


CSV_HEAD = ("where", "started_on", "ended_on", "dams", "sires", "lines", "broods", "note")


def pairings_table(page: PairingsPage) -> list[tuple[str, ...]]:
    """Return the list as rows of text under :data:`CSV_HEAD`."""
    return [
        (
            each.where,
            each.started_on.isoformat(),
            each.ended_on.isoformat() if each.ended_on is not None else "",
            ", ".join(dam.label for dam in each.dams),
            ", ".join(sire.label for sire in each.sires),
            ", ".join(each.lines),
            str(each.broods),
            each.note,
        )
        for each in (*page.running, *page.ended)
    ]


def _all_shown(session: Session, actor: Actor, pairings: Sequence[Pairing]) -> list[PairingShown]:
    where = places(session, actor)
    members = _members(session, actor, [pairing.id for pairing in pairings])
    broods: dict[int, int] = defaultdict(int)
    for brood in rows(session, Brood, Brood.pairing_id.in_([pairing.id for pairing in pairings])):
        broods[brood.pairing_id or 0] += 1
    return [
        _shown(pairing, where[pairing.section_id], members[pairing.id], broods[pairing.id])
        for pairing in pairings
    ]


def _members(session: Session, actor: Actor, ids: Sequence[int]) -> dict[int, list[Member]]:
    statement = (
        select(PairingMember.pairing_id, Fish, Line.name)
        .join(Fish, Fish.id == PairingMember.fish_id)
        .join(Line, Line.id == Fish.line_id)
        .where(PairingMember.fishroom_id == actor.fishroom_id, PairingMember.pairing_id.in_(ids))
        .order_by(PairingMember.id)
    )
    found: dict[int, list[Member]] = defaultdict(list)
    for pairing_id, fish, line in session.execute(statement):
        member = Member(fish.id, label_of(fish), fish.sex.value, line, fish.left_on is None)
        found[pairing_id].append(member)
    return found


def _shown(pairing: Pairing, place: Place, members: Sequence[Member], broods: int) -> PairingShown:
    return PairingShown(
        pairing.id,
        place.words,
        place.tank_id,
        pairing.started_on,
        pairing.ended_on,
        tuple(m for m in members if m.sex == Sex.FEMALE),
        tuple(m for m in members if m.sex == Sex.MALE),
        tuple(dict.fromkeys(m.line for m in members)),
        broods,
        pairing.note,
    )


def pairing_page(session: Session, actor: Actor, pairing_id: int) -> PairingPage:
    """Read one pairing."""
    pairing = find(session, Pairing, pairing_id)
    shown = _all_shown(session, actor, [pairing])[0]
    broods = rows(session, Brood, Brood.pairing_id == pairing.id, order=(Brood.dropped_from.desc(), Brood.id))
    outlooks = birth_outlooks(session, actor, [dam.id for dam in shown.dams if dam.here])
    ribbons = birth_ribbons(outlooks)
    project = find(session, Project, pairing.project_id) if pairing.project_id is not None else None
    return PairingPage(
        shown,
        pairing.section_id,
        (project.id, project.aim) if project is not None else None,
        tuple(_waiting(dam, outlooks.get(dam.id), ribbons.get(dam.id), broods) for dam in shown.dams),
        _history(session, actor, pairing, shown, broods),
    )


def _waiting(
    dam: Member, outlook: BirthOutlook | None, ribbon: Ribbon | None, broods: Sequence[Brood]
) -> DamWaiting:
    number = sum(brood.dam_id == dam.id for brood in broods)
    if outlook is None:
        words = "not waiting for a drop" if dam.here else "left"
        return DamWaiting(dam.id, dam.label, words, None, overdue=False, broods=number, why=None)
    said = outlook.forecast
    words = (
        ribbon.sentence if ribbon is not None else (said.notes[0] if said.notes else "no date can be given")
    )
    graded = carrying_words(said.p_carrying)
    return DamWaiting(dam.id, dam.label, words, ribbon, said.overdue, number, said.why, graded)


def _history(
    session: Session, actor: Actor, pairing: Pairing, shown: PairingShown, broods: Sequence[Brood]
) -> tuple[Event, ...]:
    """Tell what was done with the pairing and the drops that came of it, newest first."""
    acts = rows(session, Act, Act.subject == f"pairing:{pairing.id}", Act.undone_at.is_(None))
    made = act_of_rows(session, actor, "brood", [brood.id for brood in broods])
    labels = {dam.id: dam.label for dam in shown.dams}
    events = [
        Event(_day_of(actor, act, pairing), act.words, "", _kind(act), None, act.id) for act in acts
    ] + [
        Event(
            brood.dropped_to,
            f"{labels.get(brood.dam_id, brood.code)} dropped: {brood.live} live",
            brood.note,
            "drop",
            ("broods.page", brood.id),
            made.get(brood.id),
        )
        for brood in broods
    ]
    return tuple(sorted(events, key=lambda event: (event.day, event.act_id or 0), reverse=True))


def _day_of(actor: Actor, act: Act, pairing: Pairing) -> date:
    """Return the day an act is about: the pairing's own days, else the day it was logged."""
    if act.verb == "make pairing":
        return pairing.started_on
    if act.verb == "end pairing" and pairing.ended_on is not None:
        return pairing.ended_on
    return actor.day(act.at)


def _kind(act: Act) -> str:
    return {"make pairing": "adult", "end pairing": "closed"}.get(act.verb, "note")
