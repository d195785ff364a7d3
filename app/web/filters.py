"""How templates say days, windows and amounts; all wording is the core's."""

import re
from collections.abc import Callable
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from flask import Flask, g
from markupsafe import Markup, escape

from app.core import quantities, wording
from app.core.quantities import Units
from app.core.reminders import BY_KEY
from app.core.windows import Window
from app.web.signin import actor, now

PARTED = re.compile(
    rf"(?<=\d) (?=(?:{'|'.join((*wording.MONTHS, *(month[:3] for month in wording.MONTHS)))}"
    r"|%|°\w+|[mµ]?g|[mµ]?g/L|kg|L|(?:US |imp )?gal|mm|cm|ppm|µS/cm"
    r"|(?:day|week|month|year|female|male|dam|sire|adult|brood)s?|batch(?:es)?|fish|fry|young|alive|live)(?![\w/]))"
)
"""Between a number and its unit or what it counts, or a day and its month; no line is to break there."""
SPAN = re.compile(r"(?<=\d–)(?=\d)")
"""Within ``11–17 December``."""
DASH = re.compile(r" (?=– )")
"""Before the dash of ``28 May – 3 June``: it ends a line, and never begins one."""


def _today() -> date:
    return actor().today if "actor" in g else now().date()


def _units() -> Units:
    return actor().units if "actor" in g else Units.METRIC


def _amount(show: Callable[[float, Units], str]) -> Callable[[float | None], str]:
    return lambda value: "" if value is None else show(value, _units())


def _day(value: date | None) -> str:
    return "" if value is None else wording.day_words(value, _today())


def _weekday(value: date | None) -> str:
    return "" if value is None else wording.weekday_words(value, _today())


def today_words() -> str:
    """Return today as the page's head says it."""
    return wording.weekday_words(_today(), _today())


def _day_short(value: date | None) -> str:
    """Return ``12 Jun`` for a narrow margin."""
    return "" if value is None else f"{value.day} {wording.MONTHS[value.month - 1][:3]}"


def _day_brief(value: date | None) -> str:
    """Return ``12 Jun``, or ``12 Jun 2025`` of another year."""
    other = value is not None and value.year != _today().year
    return f"{_day_short(value)} {value.year}" if value is not None and other else _day_short(value)


def _local(value: datetime) -> datetime:
    return value.astimezone(ZoneInfo(actor().zone))


def _moment_day(value: datetime) -> str:
    return _day_short(_local(value).date())


def _moment_time(value: datetime) -> str:
    return f"{_local(value):%H:%M}"


def _window(value: Window | None) -> str:
    return "" if value is None else wording.window_words(value, _today())


def _distance(value: date) -> str:
    return wording.distance_words(value, _today())


def _linked(words: str, label: str, url: str) -> Markup:
    """Return ``words`` with the first mention of ``label`` as a link."""
    before, found, after = words.partition(label)
    if not found:
        return Markup('%s <a href="%s">%s</a>') % (words, url, label)
    return Markup('%s<a href="%s">%s</a>%s') % (before, url, label, after)


def whole(value: object) -> object:
    """Return plain words with what belongs on one line kept on one: ``10 L``, ``30 November``."""
    if type(value) is not str:
        return value
    parted = DASH.sub("\N{NO-BREAK SPACE}", PARTED.sub("\N{NO-BREAK SPACE}", value))
    return SPAN.sub("\N{WORD JOINER}", parted)


def sent(value: object) -> Markup:
    """Return words for a field that is sent back: as they are, with nothing put between them."""
    return escape(value)


FILTERS: dict[str, Callable[..., Any]] = {
    "day": _day,
    "day_short": _day_short,
    "day_brief": _day_brief,
    "moment_day": _moment_day,
    "moment_time": _moment_time,
    "weekday": _weekday,
    "window": _window,
    "distance": _distance,
    "in_ten": wording.in_ten,
    "many": wording.many,
    "linked": _linked,
    "listed": wording.listed,
    "begun": wording.begun,
    "sent": sent,
    "rule_word": lambda key: BY_KEY[key].word,
    "volume": _amount(quantities.show_volume),
    "fish_length": _amount(quantities.show_length),
    "temperature": _amount(quantities.show_temperature),
}


def install(app: Flask) -> None:
    """Give the templates their filters; all words they are handed stay whole."""
    app.jinja_env.filters.update(FILTERS)
    app.jinja_env.finalize = whole
