"""The rules about dams: what to do before, in and after a birth window."""

from collections.abc import Iterator
from datetime import date, timedelta

from app.core.reminders.facts import DamFact, Facts, Reminder, Subject
from app.core.windows import Window
from app.core.wording import day_words, distance_words, in_ten, window_words

FRY_PLACE_DAYS = 7  # common practice: cover and a fry place stand a week ahead
OPENING_DAYS = 3
LIKELY = 0.5
"""From this chance on that she carries, a fry place is worth its trouble (judgement)."""


def _about(dam: DamFact) -> Subject:
    return Subject("fish", dam.id, dam.code)


def fry_place(facts: Facts) -> Iterator[Reminder]:
    """Get a fry place ready a week before the window opens; then :func:`window_opening` takes over."""
    for dam in facts.dams:
        if dam.window is None or dam.overdue or dam.p_carrying < LIKELY:
            continue
        opening = _opening(dam.window, dam, facts)
        if facts.today >= opening:
            continue
        yield Reminder(
            f"fry_place:{dam.carrying_id}",
            "fry_place",
            _about(dam),
            dam.tank_id,
            dam.window.start - timedelta(days=facts.leads.days("fry_place", dam.line_id, FRY_PLACE_DAYS)),
            opening - timedelta(days=1),
            f"Get a fry place and cover ready for {dam.code}: she may drop "
            f"{window_words(dam.window, facts.today)}{_of_stored(dam)}. "
            "If she is to move, move her now rather than late.",
            "carrying",
        )


def window_opening(facts: Facts) -> Iterator[Reminder]:
    """Say that a window is about to open, and what must stand by then; :func:`watch_daily` follows."""
    for dam in facts.dams:
        if dam.window is None or dam.overdue or facts.today >= dam.window.start:
            continue
        yield Reminder(
            f"window_opening:{dam.carrying_id}",
            "window_opening",
            _about(dam),
            dam.tank_id,
            _opening(dam.window, dam, facts),
            dam.window.start - timedelta(days=1),
            f"The birth window of {dam.code} opens {distance_words(dam.window.start, facts.today)}: "
            f"{window_words(dam.window, facts.today)}.{_prepared(dam)}",
            "carrying",
        )


def _opening(window: Window, dam: DamFact, facts: Facts) -> date:
    return window.start - timedelta(days=facts.leads.days("window_opening", dam.line_id, OPENING_DAYS))


def _open_words(window: Window, today: date) -> str:
    """Say only the end of a window that begins today: while nothing happens, it begins today every day."""
    return f"until {day_words(window.end, today)}" if window.start == today else window_words(window, today)


def _prepared(dam: DamFact) -> str:
    """Say what should stand ready by now, for a dam that likely carries."""
    if dam.p_carrying < LIKELY:
        return ""
    return " Cover and fry place should stand; if she is to move, or much water to be changed, do it today."


def _of_stored(dam: DamFact) -> str:
    return ", from sperm she kept" if dam.stored else ""


def may_drop(dam: DamFact, today: date) -> bool:
    """Return whether her window is open."""
    if dam.window is None or dam.overdue or dam.last_day is None:
        return False
    return dam.window.start <= today <= dam.last_day


def watch_daily(facts: Facts) -> Iterator[Reminder]:
    """Look at her every day while the window is open."""
    for dam in facts.dams:
        if dam.window is not None and may_drop(dam, facts.today):
            yield Reminder(
                f"watch:{dam.carrying_id}:{facts.today}",
                "watch_daily",
                _about(dam),
                dam.tank_id,
                facts.today,
                facts.today,
                f"Look at {dam.code}: her window is open ({_open_words(dam.window, facts.today)}). "
                "Put off big water changes until she has dropped.",
                "carrying",
                urgent=True,
            )


def overdue(facts: Facts) -> Iterator[Reminder]:
    """Ask what became of a drop that did not come."""
    for dam in facts.dams:
        if dam.overdue:
            yield Reminder(
                f"overdue:{dam.carrying_id}",
                "overdue",
                _about(dam),
                dam.tank_id,
                facts.today,
                None,
                f"{dam.code} should have dropped by now; the chance that she is carrying is "
                f"{in_ten(dam.p_carrying)}. Is she not carrying, or was the drop missed or eaten?",
                "waiting",
                urgent=True,
            )
