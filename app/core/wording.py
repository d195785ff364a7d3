"""One phrasing for page, mail, calendar and terminal: days, windows, chances and numbers."""

import re
from datetime import date

from app.core.windows import Window

MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


CARRYING = (
    (0.9, "very likely carrying"),
    (0.7, "likely carrying"),
    (0.4, "may be carrying"),
    (0.1, "probably not carrying"),
)
"""From which chance on which words (judgement); between 4 and 7 in 10 nobody should lean either way."""


def day_words(day: date, today: date | None = None) -> str:
    """Return ``12 June``, with the year where it is not the year of ``today``."""
    words = f"{day.day} {MONTHS[day.month - 1]}"
    return words if today is not None and day.year == today.year else f"{words} {day.year}"


def weekday_words(day: date, today: date | None = None) -> str:
    """Return ``Fri 12 June``."""
    return f"{WEEKDAYS[day.weekday()]} {day_words(day, today)}"


def month_words(day: date, today: date) -> str:
    """Say the month of a day: ``in March``; the year where it is another."""
    return f"in {MONTHS[day.month - 1]}" + (f" {day.year}" if day.year != today.year else "")


def span_words(start: date, end: date, today: date | None = None) -> str:
    """Return ``8–17 June``, ``28 May – 3 June`` or one day; a year that both ends share is said once."""
    if start == end:
        return day_words(start, today)
    if (start.year, start.month) == (end.year, end.month):
        return f"{start.day}–{day_words(end, today)}"
    return f"{day_words(start, end if start.year == end.year else today)} – {day_words(end, today)}"


def window_words(window: Window, today: date | None = None) -> str:
    """Return the span of ``window``."""
    return span_words(window.start, window.end, today)


def in_ten(probability: float) -> str:
    """Return a probability as cases in ten: ``8 in 10``, ``fewer than 1 in 10``."""
    tenths = round(probability * 10)
    if probability >= 0.995:
        return "almost certain"
    if tenths == 0:
        return "fewer than 1 in 20" if probability < 0.05 else "fewer than 1 in 10"
    if tenths == 10:
        return "more than 9 in 10"
    return f"{tenths} in 10"


def carrying_words(probability: float) -> str:
    """Return what the chance that a dam carries amounts to: ``very likely carrying``, ``may be carrying``."""
    for least, words in CARRYING:
        if probability >= least:
            return words
    return "hardly carrying"


def distance_words(day: date, today: date) -> str:
    """Return how far ``day`` is from ``today``: ``today``, ``in 3 days``, ``2 weeks ago``."""
    days = (day - today).days
    if days in {-1, 0, 1}:
        return {-1: "yesterday", 0: "today", 1: "tomorrow"}[days]
    amount = length_words(abs(days))
    return f"in {amount}" if days > 0 else f"{amount} ago"


def length_words(days: int) -> str:
    """Return a number of days in the unit people would use: ``9 days``, ``5 weeks``, ``4 months``."""
    unit, size = _unit(days)
    return many(round(days / size), unit)


def age_words(born_from: date, born_to: date, today: date) -> str:
    """Return an age in full units, as a range where the birth is one: ``9 days``, ``6 to 10 weeks``."""
    old, young = (max(0, (today - day).days) for day in (born_from, born_to))
    unit, size = _unit(old)
    if young < size:
        unit, size = _unit(young)
    low, high = int(young / size), int(old / size)
    return many(high, unit) if low == high else f"{low} to {many(high, unit)}"


def _unit(days: int) -> tuple[str, float]:
    """Return the unit people would use for so many days, and its length in days."""
    if days < 21:
        return "day", 1
    if days < 92:
        return "week", 7
    if days < 731:
        return "month", 30.44
    return "year", 365.25


def many(number: int, one: str, several: str = "") -> str:
    """Return ``1 female`` or ``3 females``."""
    return f"{number} {one if number == 1 else several or one + 's'}"


def begun(words: str) -> str:
    """Begin a sentence with a capital letter and leave the names in it alone."""
    return words[:1].upper() + words[1:]


def listed(items: list[str]) -> str:
    """Return ``a``, ``a and b`` or ``a, b and c``."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} and {items[-1]}"


def by_number(code: str) -> tuple[tuple[int, int, str], ...]:
    """Sort codes as they are counted, ``AM7`` before ``AM10``."""
    parts = re.findall(r"\d+|\D+", code.casefold())
    return tuple((0, int(part), "") if part.isdecimal() else (1, 0, part) for part in parts)
