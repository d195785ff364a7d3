"""Reminders: every rule, and what is due on a morning. Rounds, almanac and calendar walk ``RULES``."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from app.core.reminders import (
    batches,
    care,
    dams,
    hatches,
    loggers,
    messages,
    plans,
    projects,
    quarantine,
    wants,
)
from app.core.reminders.facts import (
    EVERYTHING,
    BatchFact,
    DamFact,
    Facts,
    FishFact,
    FryFact,
    LackFact,
    Leads,
    LoggerFact,
    LostFact,
    NitrateFact,
    ProjectFact,
    Reminder,
    RoomFact,
    StepFact,
    StrayFact,
    Subject,
)

__all__ = [
    "BY_KEY",
    "EVERYTHING",
    "RULES",
    "BatchFact",
    "DamFact",
    "Facts",
    "FishFact",
    "FryFact",
    "Given",
    "LackFact",
    "Leads",
    "LoggerFact",
    "LostFact",
    "NitrateFact",
    "ProjectFact",
    "Reminder",
    "RoomFact",
    "Rule",
    "StepFact",
    "StrayFact",
    "Subject",
    "ahead",
    "due",
]


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: its name, its word on the rounds, what it is for, how it finds what to say, how far ahead.

    ``lead`` is the usual number of days before ``before`` that it speaks; the rule itself reads the
    chosen one from the facts. What can wait is told once in full; after that its ``verb`` and whom it
    is about are enough.
    """

    key: str
    word: str
    title: str
    find: Callable[[Facts], Iterator[Reminder]]
    lead: int | None = None
    before: str = ""
    verb: str = ""


@dataclass(frozen=True, slots=True)
class Given:
    """What the keeper answered: for good, or until a day."""

    until: date | None = None


RULES: tuple[Rule, ...] = (
    Rule(
        "watch_daily",
        "watch",
        "Watch daily, and hold big water changes, while a birth window is open",
        dams.watch_daily,
    ),
    Rule("overdue", "overdue", "Overdue: not carrying, or missed?", dams.overdue, verb="say what became of"),
    Rule(
        "split_by",
        "split",
        "Split a batch before its males are fertile",
        batches.split_by,
        batches.SPLIT_NOTICE_DAYS,
        "the split-by date",
    ),
    Rule(
        "window_opening",
        "window soon",
        "A birth window is about to open: last days to move her or change water",
        dams.window_opening,
        dams.OPENING_DAYS,
        "the window opens",
    ),
    Rule(
        "fry_place",
        "get ready",
        "Get a fry place and cover ready, and move her early",
        dams.fry_place,
        dams.FRY_PLACE_DAYS,
        "the window opens",
        verb="get a fry place ready for",
    ),
    Rule(
        "ready_to_sex",
        "sex",
        "A batch is ready to sex",
        batches.ready_to_sex,
        batches.ON_THE_DAY,
        "half of it can be told",
    ),
    Rule(
        "ready_to_rehome",
        "rehome",
        "A batch is ready to rehome",
        batches.ready_to_rehome,
        batches.ON_THE_DAY,
        "it comes to size",
        verb="rehome",
    ),
    Rule(
        "brine_shrimp",
        "hatch",
        "Start brine shrimp, so that nauplii are ready",
        hatches.brine_shrimp,
        hatches.START_DAYS,
        "the window opens",
        verb="start brine shrimp for",
    ),
    Rule("parents_out", "part", "Part grown fish from young fry", care.parents_out),
    Rule(
        "people_waiting",
        "tell them",
        "Tell who waits for fish",
        wants.people_waiting,
        wants.NOTICE_DAYS,
        "it comes to size",
        verb="tell who waits for",
    ),
    Rule("redose_due", "put back", "A change took some of a course: put it back", plans.redose_due),
    Rule(
        "plan_step_due", "today’s step", "A step of a course, acclimation or other plan", plans.plan_step_due
    ),
    Rule("look_due", "look", "Look at fish in quarantine", plans.look_due, verb="look at"),
    Rule("quarantine_ends", "quarantine", "Quarantine ends", quarantine.quarantine_ends, 0, "its end"),
    Rule("out_of_range", "out of range", "A reading is outside what is wanted", care.out_of_range),
    Rule("nitrate_due", "nitrate", "Nitrate reaches its ceiling", care.nitrate_due, verb="change water in"),
    Rule(
        "fry_box",
        "fry box",
        "A batch was in a fry box for two weeks",
        care.fry_box,
        verb="move from the fry box",
    ),
    Rule(
        "fry_change_due",
        "change water",
        "Change the water of fry",
        care.fry_change_due,
        verb="change water in",
    ),
    Rule(
        "fry_feeding",
        "feed",
        "Feed fry differently from an age on",
        care.fry_feeding,
        verb="feed the fry in",
    ),
    Rule("crowded", "tight", "A tank is getting tight", care.crowded),
    Rule("logger_silent", "silent", "A logger stopped sending", loggers.logger_silent),
    Rule(
        "condition",
        "condition",
        "Condition the fish of a project that waits",
        projects.condition,
        projects.CONDITION_DAYS,
        "the tank is likely free",
    ),
    Rule(
        "project_start",
        "soon free",
        "A tank comes free for a waiting project",
        projects.project_start,
        projects.START_DAYS,
        "the tank is likely free",
    ),
    Rule(
        "project_stage", "project", "The next line of a running project's checklist", projects.project_stage
    ),
    Rule("count_due", "count", "Count a batch", batches.count_due, verb="count"),
    Rule("length_check_due", "measure", "Measure a batch", batches.length_check_due, verb="measure"),
    Rule("message_lost", "not sent", "A morning message did not go out", messages.message_lost),
)
BY_KEY = {rule.key: rule for rule in RULES}


def ahead(facts: Facts, answers: Mapping[str, Given], days: int) -> list[Reminder]:
    """Return what falls due up to ``days`` from now, is not over and not answered for good, soonest first."""
    last = facts.today + timedelta(days=days)
    found = (reminder for rule in RULES for reminder in rule.find(facts))
    asked = (r for r in found if not {(r.rule, r.subject.key), (r.rule, EVERYTHING)} & facts.muted)
    open_ones = [
        r
        for r in asked
        if r.due <= last and not _over(r, facts.today) and not _silenced(answers.get(r.key), facts.today)
    ]
    order = {rule.key: place for place, rule in enumerate(RULES)}
    return sorted(open_ones, key=lambda r: (max(r.due, facts.today), order[r.rule], r.subject.label))


def due(facts: Facts, answers: Mapping[str, Given]) -> list[Reminder]:
    """Return what is due today: begun, not over, not answered; in the order of the rules."""
    return ahead(facts, answers, 0)


def _over(reminder: Reminder, today: date) -> bool:
    """Return whether its time has passed; a batch that was not split in time is still to be split."""
    return reminder.until is not None and reminder.until < today and reminder.rule != "split_by"


def _silenced(answer: Given | None, today: date) -> bool:
    return answer is not None and (answer.until is None or answer.until > today)
