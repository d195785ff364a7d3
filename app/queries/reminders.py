"""The reminders page: every rule with its lead time, lines with their own, and what is silenced."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import time

from sqlalchemy import select
from sqlalchemy.orm import InstrumentedAttribute, Session

from app.core.digest import EMPTY_MORNING
from app.core.reminders import BY_KEY, EVERYTHING, RULES, Rule
from app.store.actor import Actor
from app.store.base import Owned
from app.store.batches import Batch
from app.store.fish import Fish
from app.store.fishrooms import Fishroom
from app.store.lines import Line
from app.store.projects import Project
from app.store.reminders import LeadTime, Muted
from app.store.session import rows
from app.store.tanks import Tank

LABELS: dict[str, tuple[type[Owned], InstrumentedAttribute[str]]] = {
    "fish": (Fish, Fish.code),
    "batch": (Batch, Batch.code),
    "tank": (Tank, Tank.name),
    "project": (Project, Project.aim),
}
"""What a rule may be silenced for; a plan's steps and a lost message are each asked once anyway."""


@dataclass(frozen=True, slots=True)
class RuleShown:
    """One rule; ``days`` is the lead time that holds, none where it speaks on its day."""

    key: str
    title: str
    before: str
    usual: int | None
    days: int | None


@dataclass(frozen=True, slots=True)
class LineLead:
    """A lead time of one line's own."""

    id: int
    title: str
    line: str
    days: int
    before: str


@dataclass(frozen=True, slots=True)
class MutedShown:
    """A rule silenced for one fish, batch, tank or project, or as a whole: then ``subject_id`` is 0."""

    id: int
    title: str
    kind: str
    subject_id: int
    label: str


@dataclass(frozen=True, slots=True)
class RemindersPage:
    """Everything that can be chosen about reminders."""

    rules: tuple[RuleShown, ...]
    line_leads: tuple[LineLead, ...]
    muted: tuple[MutedShown, ...]
    lines: tuple[tuple[int, str], ...]
    quiet_from: time | None
    quiet_to: time | None
    empty_days: int
    """How far ahead the short message of an empty morning looks; 0 where there is none."""

    @property
    def with_lead(self) -> tuple[RuleShown, ...]:
        """The rules whose lead time can be chosen."""
        return tuple(rule for rule in self.rules if rule.usual is not None)

    @property
    def on_the_day(self) -> tuple[RuleShown, ...]:
        """The rules that speak when something is due, and not ahead of it."""
        return tuple(rule for rule in self.rules if rule.usual is None)

    @property
    def leads(self) -> dict[str, int | None]:
        """The lead times that hold, by rule."""
        return {rule.key: rule.days for rule in self.with_lead}


def reminders_page(session: Session, actor: Actor) -> RemindersPage:
    """Read what is chosen, in a fixed number of statements."""
    room = session.get_one(Fishroom, actor.fishroom_id)
    lines = {line.id: line.name for line in rows(session, Line, order=(Line.name, Line.id))}
    leads = rows(session, LeadTime)
    chosen = {lead.rule: lead.days for lead in leads if lead.line_id is None}
    return RemindersPage(
        tuple(_shown(rule, chosen) for rule in RULES),
        tuple(
            LineLead(lead.id, rule.title, lines[lead.line_id], lead.days, rule.before)
            for lead in leads
            if lead.line_id is not None and (rule := BY_KEY.get(lead.rule)) is not None
        ),
        tuple(_muted(session, rows(session, Muted))),
        tuple(lines.items()),
        room.quiet_from,
        room.quiet_to,
        chosen.get(EMPTY_MORNING, 0),
    )


def _shown(rule: Rule, chosen: dict[str, int]) -> RuleShown:
    days = None if rule.lead is None else chosen.get(rule.key, rule.lead)
    return RuleShown(rule.key, rule.title, rule.before, rule.lead, days)


def _muted(session: Session, muted: Sequence[Muted]) -> Iterator[MutedShown]:
    wanted: dict[str, list[int]] = defaultdict(list)
    for row in muted:
        kind, _, number = row.subject.partition(":")
        wanted[kind].append(int(number))
    labels = {kind: _labels(session, kind, ids) for kind, ids in wanted.items() if kind in LABELS}
    for row in muted:
        kind, _, number = row.subject.partition(":")
        label = labels.get(kind, {}).get(int(number))
        if row.subject == EVERYTHING:
            label = "Everywhere"
        if label is not None and row.rule in BY_KEY:
            yield MutedShown(row.id, BY_KEY[row.rule].title, kind, int(number), label)


def _labels(session: Session, kind: str, ids: list[int]) -> dict[int, str]:
    model, label = LABELS[kind]
    room = session.info["fishroom_id"]
    statement = select(model.id, label).where(model.id.in_(ids), model.fishroom_id == room)
    return {found: str(name) for found, name in session.execute(statement)}
