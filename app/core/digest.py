"""The morning's message: what is due by tank in walking order, and what opens this week, in plain words."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from app.core.reminders import Reminder
from app.core.windows import Window
from app.core.wording import listed, many, weekday_words

WEEK_DAYS = 7
NOWHERE = "Elsewhere"
GATHERED = {"count_due": "Count", "length_check_due": "Measure"}
"""Routine rules, said once a tank for all its batches, and the word they begin with."""


@dataclass(frozen=True, slots=True)
class Opening:
    """A window or date that begins within the week: about whom, of which stage, and its words."""

    subject: str
    stage: str
    window: Window
    words: str


@dataclass(frozen=True, slots=True)
class Stop:
    """One tank on the walk, and what it needs today."""

    tank: str
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Digest:
    """One morning's message."""

    fishroom: str
    today: date
    stops: tuple[Stop, ...]
    week: tuple[str, ...]

    @property
    def count(self) -> int:
        """How many things are to do."""
        return sum(len(stop.words) for stop in self.stops)

    @property
    def title(self) -> str:
        """The subject line: the day, and how much there is to do."""
        day = weekday_words(self.today, self.today)
        if not self.stops:
            return f"{self.fishroom}, {day}: nothing due today"
        tanks = many(len(self.stops), "tank")
        return f"{self.fishroom}, {day}: {many(self.count, 'thing')} to do at {tanks}"


def digest(
    fishroom: str,
    today: date,
    due: Sequence[Reminder],
    openings: Iterable[Opening],
    tanks: Sequence[tuple[int, str]],
) -> Digest | None:
    """Return the message of a morning, or nothing where nothing is due.

    ``tanks`` are numbers and names in walking order. What is due already is not said again among the
    windows of the week.
    """
    if not due:
        return None
    stops = [Stop(name, _said(r for r in due if r.tank_id == number)) for number, name in tanks]
    known = {number for number, _ in tanks}
    stops.insert(0, Stop(NOWHERE, _said(r for r in due if r.tank_id not in known)))
    said = {(reminder.subject.key, reminder.stage) for reminder in due}
    return Digest(
        fishroom,
        today,
        tuple(stop for stop in stops if stop.words),
        tuple(_week(today, (one for one in openings if (one.subject, one.stage) not in said))),
    )


def _said(due: Iterable[Reminder]) -> tuple[str, ...]:
    """Return what is due at one tank: what stands on its own first, then the routine gathered."""
    found = list(due)
    alone = [reminder.words for reminder in found if reminder.rule not in GATHERED]
    return (*alone, *(words for rule in GATHERED if (words := _gathered(rule, found))))


def _gathered(rule: str, due: Sequence[Reminder]) -> str:
    mine = [reminder for reminder in due if reminder.rule == rule]
    if len(mine) < 2:
        return "".join(reminder.words for reminder in mine)
    return f"{GATHERED[rule]} {listed([reminder.subject.label for reminder in mine])}."


def _week(today: date, openings: Iterable[Opening]) -> Iterable[str]:
    last = today + timedelta(days=WEEK_DAYS)
    soon = [one for one in openings if today < one.window.start <= last]
    for one in sorted(soon, key=lambda one: (one.window.start, one.words)):
        yield f"{weekday_words(one.window.start, today)}: {one.words}."


def plain_text(message: Digest, address: str, stop_words: str) -> str:
    """Return the message as plain text, with the address of the rounds and how to stop it."""
    lines = [message.title, ""]
    for stop in message.stops:
        lines += [stop.tank, *(f"- {words}" for words in stop.words), ""]
    if message.week:
        lines += ["Opening this week", *(f"- {words}" for words in message.week), ""]
    lines += [f"Rounds: {address}", stop_words]
    return "\n".join(lines)
