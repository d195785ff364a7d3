"""The morning's message: what is due by tank in walking order, and what opens this week, in plain words."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from app.core.reminders import RULES, Reminder
from app.core.windows import Window
from app.core.wording import listed, many, weekday_words

WEEK_DAYS = 7
NOWHERE = "Elsewhere"
CAN_WAIT = {rule.key: rule.verb for rule in RULES if rule.verb}
"""Rules whose leftovers are gathered behind a verb, and send no message of their own but on Mondays."""
EVERY_DAY = frozenset({"overdue"})
"""Rules that are due anew every day; on Mondays they are told in full."""
SAME = {"waiting": "carrying"}
"""A dam who should have dropped is not foretold to drop."""
MONDAY = 0
EMPTY_MORNING = "empty_morning"
"""The name under which it is kept how far ahead the short message of an empty morning looks; 0 sends none."""


@dataclass(frozen=True, slots=True)
class Opening:
    """A window or date that begins within the week: about whom, of which stage, and its words."""

    subject: str
    stage: str
    window: Window
    words: str


@dataclass(frozen=True, slots=True)
class Stop:
    """One tank on the walk, what it needs from today on, and what is left over from before."""

    tank: str
    words: tuple[str, ...]
    left: str = ""


@dataclass(frozen=True, slots=True)
class Digest:
    """One morning's message."""

    fishroom: str
    today: date
    stops: tuple[Stop, ...]
    week: tuple[str, ...]
    short: str = ""
    """All there is to say on a morning with nothing new to do."""

    @property
    def count(self) -> int:
        """How many things are to do."""
        return sum(len(stop.words) for stop in self.stops)

    @property
    def title(self) -> str:
        """The subject line: the day, and how much there is to do."""
        day = weekday_words(self.today, self.today)
        if self.short:
            return f"{self.fishroom}, {day}: nothing new to do"
        if not self.count:
            return f"{self.fishroom}, {day}: what is left to do"
        tanks = many(sum(1 for stop in self.stops if stop.words), "tank")
        return f"{self.fishroom}, {day}: {many(self.count, 'thing')} to do at {tanks}"


def digest(
    fishroom: str,
    today: date,
    due: Sequence[Reminder],
    openings: Iterable[Opening],
    tanks: Sequence[tuple[int, str]],
) -> Digest | None:
    """Return the message of a morning, or nothing where nothing is due, or only what can wait.

    ``tanks`` are numbers and names in walking order. What is due already is not said again among the
    windows of the week.
    """
    if not due or (today.weekday() != MONDAY and all(_left(one, today) for one in due)):
        return None
    stops = [_stop(name, [r for r in due if r.tank_id == number], today) for number, name in tanks]
    known = {number for number, _ in tanks}
    stops.insert(0, _stop(NOWHERE, [r for r in due if r.tank_id not in known], today))
    said = {(one.subject.key, stage) for one in due for stage in (one.stage, SAME.get(one.stage, one.stage))}
    return Digest(
        fishroom,
        today,
        tuple(stop for stop in stops if stop.words or stop.left),
        tuple(_week(today, (one for one in openings if (one.subject, one.stage) not in said))),
    )


def short_digest(
    fishroom: str, today: date, due: Sequence[Reminder], openings: Iterable[Opening], days: int
) -> Digest:
    """Return the message of a morning with nothing new: what is still open, and what begins next."""
    still = f"Nothing new is due; {many(len(due), 'thing')} still open" if due else "Nothing is due"
    soon = [one for one in openings if 0 < (one.window.start - today).days <= days]
    first = min(soon, key=lambda one: (one.window.start, one.words), default=None)
    then = f"nothing begins in the next {many(days, 'day')}" if first is None else f"next: {first.words}"
    return Digest(fishroom, today, (), (), f"{still}; {then}.")


def _left(reminder: Reminder, today: date) -> bool:
    """Say whether it was told before and can wait."""
    if reminder.rule in EVERY_DAY:
        return today.weekday() != MONDAY
    return reminder.rule in CAN_WAIT and reminder.due < today


def _stop(tank: str, due: Sequence[Reminder], today: date) -> Stop:
    """Say what is due at one tank: what stands on its own, then the routine gathered, then the rest."""
    fresh = [reminder for reminder in due if not _left(reminder, today)]
    alone = [reminder.words for reminder in fresh if reminder.rule not in CAN_WAIT]
    routine = [words for rule in CAN_WAIT if (words := _gathered(rule, fresh))]
    left = [reminder for reminder in due if _left(reminder, today)]
    kinds = [f"{CAN_WAIT[rule]} {listed(about)}" for rule in CAN_WAIT if (about := _labels(rule, left))]
    return Stop(tank, (*alone, *routine), f"Still open: {'; '.join(kinds)}." if kinds else "")


def _gathered(rule: str, due: Sequence[Reminder]) -> str:
    """Return the words of a rule that speaks of one batch; of several, its verb and their codes."""
    mine = [reminder for reminder in due if reminder.rule == rule]
    if len(mine) < 2:
        return "".join(reminder.words for reminder in mine)
    return f"{CAN_WAIT[rule].capitalize()} {listed(_labels(rule, mine))}."


def _labels(rule: str, due: Sequence[Reminder]) -> list[str]:
    return [reminder.subject.label for reminder in due if reminder.rule == rule]


def _week(today: date, openings: Iterable[Opening]) -> Iterable[str]:
    last = today + timedelta(days=WEEK_DAYS)
    soon = [one for one in openings if today < one.window.start <= last]
    for one in sorted(soon, key=lambda one: (one.window.start, one.words)):
        yield f"{one.words}."


def plain_text(message: Digest, address: str, stop_words: str) -> str:
    """Return the message as plain text, with the address of the rounds and how to stop it."""
    lines = [message.title, ""]
    if message.short:
        lines += [message.short, ""]
    for stop in message.stops:
        lines += [stop.tank, *(f"- {words}" for words in (*stop.words, stop.left) if words), ""]
    if message.week:
        lines += ["Opening this week", *(f"- {words}" for words in message.week), ""]
    lines += [f"Rounds: {address}", stop_words]
    return "\n".join(lines)
