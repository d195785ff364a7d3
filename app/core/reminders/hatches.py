"""The rule about brine shrimp: nauplii ready when a birth window opens, and each day after."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from app.core.reminders.dams import LIKELY
from app.core.reminders.facts import DamFact, Facts, Reminder, Subject
from app.core.water.brine_shrimp import hatch_hours
from app.core.windows import Window
from app.core.wording import listed, window_words

START_DAYS = 2
"""A slow strain in a cool room takes two days (:data:`app.core.water.brine_shrimp.SLOW_H`)."""
NAUPLII_DAYS = 28
"""So long fry are fed nauplii; then they take larger food as well (common practice, no source)."""
PAUSE_DAYS = 2
"""A keeper who started no hatch for longer has stopped, and is not asked day by day."""
USUAL_C = 25.0
KEY = "brine_shrimp:"
"""How the keys of these reminders begin, by which a started hatch is found among the answers."""


def brine_shrimp(facts: Facts) -> Iterator[Reminder]:
    """Say when to start the first hatch for a window; while hatches run, ask for the day's.

    One hatch serves all dams whose time has come; another dam is another occasion.
    """
    if facts.hatching is not None and (facts.today - facts.hatching).days <= PAUSE_DAYS:
        yield from _next_hatch(facts)
        return
    starts = sorted(_starts(facts), key=lambda start: (start.due, start.dam.code))
    begun = [start for start in starts if start.due <= facts.today]
    if begun:
        yield _first_hatch(begun, facts)
    for start in starts[len(begun) :]:
        yield _first_hatch([start], facts)


def day_key(day: date) -> str:
    """Name the hatch of a day, as its answer is kept."""
    return f"{KEY}{day}"


@dataclass(frozen=True, slots=True)
class _Start:
    """A dam with a window, and the day to start the first hatch for it."""

    dam: DamFact
    window: Window
    due: date


def _starts(facts: Facts) -> Iterator[_Start]:
    for dam in facts.dams:
        if dam.window is not None and not dam.overdue and dam.p_carrying >= LIKELY:
            lead = facts.leads.days("brine_shrimp", dam.line_id, START_DAYS)
            yield _Start(dam, dam.window, dam.window.start - timedelta(days=lead))


def _first_hatch(starts: Sequence[_Start], facts: Facts) -> Reminder:
    last, hours = starts[-1], hatch_hours(USUAL_C)
    when = [f"{start.dam.code} ({window_words(start.window, facts.today)})" for start in starts]
    return Reminder(
        f"{KEY}{last.dam.carrying_id}",
        "brine_shrimp",
        Subject("fish", last.dam.id, last.dam.code),
        last.dam.tank_id,
        last.due,
        max(start.window.end for start in starts),
        f"Start a brine-shrimp hatch for the fry of {listed(when)}: it takes {hours.quick:.0f} to "
        f"{hours.slow:.0f} hours at {USUAL_C:.0f} °C, longer when cooler. Then a small one each day.",
        "growing",
    )


def _next_hatch(facts: Facts) -> Iterator[Reminder]:
    """Ask for one hatch a day, for all who need it, from the day after the last one on."""
    dams = [start.dam for start in _starts(facts) if start.due <= facts.today]
    fry = [one for one in facts.fry if 0 <= (facts.today - one.born).days < NAUPLII_DAYS]
    needing = [
        *((Subject("fish", dam.id, dam.code), dam.tank_id) for dam in dams),
        *((Subject("batch", one.id, one.code), one.tank_id) for one in fry),
    ]
    if not needing or facts.hatching == facts.today:
        return
    subject, tank_id = needing[0]
    yield Reminder(
        day_key(facts.today),
        "brine_shrimp",
        subject,
        tank_id,
        facts.today,
        facts.today,
        f"Start today’s brine-shrimp hatch: for {listed([about.label for about, _ in needing])}.",
        "growing",
    )
