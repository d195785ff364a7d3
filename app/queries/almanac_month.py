"""A month of the almanac: a sheet for the wall, week by week, with what begins or falls due on each day."""

from calendar import Calendar
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from sqlalchemy.orm import Session

from app.core.reminders import BY_KEY, Reminder, StepFact, Subject, ahead
from app.core.reminders.plans import stage_of
from app.queries.almanac import Ahead, entries, steps_left
from app.queries.facts import Morning, morning
from app.store.actor import Actor

MONTHS_AHEAD = 12
WORDS = {
    "brine_shrimp": "start brine shrimp",
    "condition": "condition the fish",
    "project_stage": "checklist",
}
"""More than the rule's word, where that says too little with no sentence beside it."""
SAID = {
    "watch_daily", "overdue", "window_opening", "split_by", "ready_to_sex", "ready_to_rehome", "message_lost",
    "quarantine_ends", "plan_step_due", "look_due", "project_start",
}  # fmt: skip
"""Rules of which the windows and the steps of plans say enough."""
ROOMY, TIGHT = 32, 60
"""Lines of all weeks' fullest days up to which a page of paper holds them large, and smaller."""


@dataclass(frozen=True, slots=True)
class Noted:
    """One line of a day: whom it is about, and in a word what and until when."""

    subject: Subject
    stage: str
    words: str


@dataclass(frozen=True, slots=True)
class Day:
    """One day of the sheet; ``within`` says whether it is of the month itself."""

    day: date
    within: bool
    noted: tuple[Noted, ...]


@dataclass(frozen=True, slots=True)
class MonthPage:
    """The sheet of one month."""

    first: date
    today: date
    weeks: tuple[tuple[Day, ...], ...]
    earlier: date | None
    later: date | None

    @property
    def size(self) -> str:
        """How large it can be printed on one page: ``roomy``, ``tight`` or ``full``."""
        lines = sum(max(len(day.noted) for day in week) for week in self.weeks)
        return "roomy" if lines <= ROOMY else "tight" if lines <= TIGHT else "full"


def month_page(session: Session, actor: Actor, asked: date) -> MonthPage:
    """Return the sheet of the month of ``asked``, from this month to a year ahead.

    A window stands on the day it begins; one that had begun before stands on today. Weeks that are over
    are left out.
    """
    this = actor.today.replace(day=1)
    first = min(max(asked.replace(day=1), this), _shifted(this, MONTHS_AHEAD))
    weeks = [
        week for week in Calendar().monthdatescalendar(first.year, first.month) if week[-1] >= actor.today
    ]
    noted = _noted(session, actor, weeks[-1][-1])
    return MonthPage(
        first,
        actor.today,
        tuple(tuple(Day(day, day.month == first.month, tuple(noted[day])) for day in week) for week in weeks),
        _shifted(first, -1) if first > this else None,
        _shifted(first, 1) if first < _shifted(this, MONTHS_AHEAD) else None,
    )


def _shifted(first: date, months: int) -> date:
    number = first.year * 12 + first.month - 1 + months
    return date(number // 12, number % 12 + 1, 1)


def _noted(session: Session, actor: Actor, last: date) -> dict[date, list[Noted]]:
    today = morning(session, actor)
    found: dict[date, list[Noted]] = defaultdict(list)
    for entry in entries(today, actor.today, (last - actor.today).days):
        if entry.kind != "plan":
            found[max(entry.window.start, actor.today)].append(_window(entry))
    for step in steps_left(today):
        found[max(step.due_on, actor.today)].append(_step(step))
    for day, noted in _reminders(today, actor.today, last):
        found[day].append(noted)
    return found


def _reminders(today: Morning, on: date, last: date) -> Iterator[tuple[date, Noted]]:
    """Give the other reminders, those of one rule and day as one line."""
    found: dict[tuple[date, str], list[Reminder]] = defaultdict(list)
    for one in ahead(today.facts, today.answers, (last - on).days):
        if one.rule not in SAID:
            found[max(one.due, on), one.rule].append(one)
    for (day, rule), alike in found.items():
        more = f", with {len(alike) - 1} more" if len(alike) > 1 else ""
        yield day, Noted(alike[0].subject, alike[0].stage, f"{WORDS.get(rule, BY_KEY[rule].word)}{more}")


def _window(entry: Ahead) -> Noted:
    start, end = entry.window.start, entry.window.end
    until = "" if start == end else f" to {end.day} {end:%b}"
    return Noted(entry.subject, entry.stage, f"{entry.label}{until}")


def _step(step: StepFact) -> Noted:
    return Noted(Subject("plan", step.plan_id, step.title), stage_of(step), "step")
