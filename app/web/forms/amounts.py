"""Fields for days, ages, salt, hardness and pH as people type them; edited amounts keep their decimals."""

from collections.abc import Callable
from typing import Any

from app.core.problems import Problem
from app.core.quantities import (
    Units,
    parse_hardness,
    parse_mass,
    parse_salinity,
    show_hardness,
    show_mass,
    show_salinity,
)
from app.core.quantities.ages import DAYS, parse_age
from app.core.quantities.figures import split
from app.core.quantities.showing import trimmed
from app.web.forms.base import AmountField
from app.web.signin import actor

Show = Callable[[float, Units], str]


def days_field(label: str, validators: Any = None) -> AmountField:  # noqa: ANN401
    """Return a field that takes ``29``, ``4 weeks`` or ``36 h`` and gives days."""
    return AmountField(label, validators, parse=_days, show=_plain("days"))


def age_field(label: str, validators: Any = None) -> AmountField:  # noqa: ANN401
    """Return a field that takes ``10 weeks`` or ``4 months`` and gives days."""
    return AmountField(label, validators, parse=lambda text, _: parse_age(text), show=_plain("days"))


def salinity_field(label: str, validators: Any = None) -> AmountField:  # noqa: ANN401
    """Return a field that takes ``3 g/L``, ``2 ppt`` or ``SG 1.003`` and gives g/L."""
    return AmountField(
        label,
        validators,
        parse=lambda text, _: parse_salinity(text),
        show=lambda value, _: show_salinity(value),
    )


def hardness_field(label: str, validators: Any = None) -> AmountField:  # noqa: ANN401
    """Return a field that takes ``8 dH`` or ``140 ppm`` and gives °dH."""
    return AmountField(
        label, validators, parse=parse_hardness, show=lambda value, _: show_hardness(value, Units.METRIC)
    )


def mass_field(label: str, validators: Any = None) -> AmountField:  # noqa: ANN401
    """Return a field that takes ``1.5 g`` or ``0.1 oz`` and gives grams."""
    return AmountField(label, validators, parse=parse_mass, show=lambda value, _: show_mass(value))


def ph_field(label: str, validators: Any = None) -> AmountField:  # noqa: ANN401
    """Return a field that takes ``7.4``."""
    return AmountField(label, validators, parse=_ph, show=lambda value, _: trimmed(value, 2))


def _plain(unit: str) -> Show:
    return lambda value, _: f"{trimmed(value, 1)} {unit}"


def _days(text: str, _units: Units) -> float:
    number, words = split(text, "days", "29 days")
    known = {**DAYS, **dict.fromkeys(("h", "hour", "hours"), 1.0 / 24.0)}
    if words and words not in known:
        raise Problem(f"{text!r} is not a number of days; write 29 or 4 weeks", "days")
    return number * known[words or "days"]


def _ph(text: str, _units: Units) -> float:
    number, words = split(text.lower().removeprefix("ph"), "ph", "7.4")
    if words:
        raise Problem(f"{text!r} is no pH; write a number such as 7.4", "ph")
    return number


def unrounded(field: AmountField, was: float | None) -> float | None:
    """Return the amount typed; where the text was left as it was shown, the stored one to the last digit."""
    typed = str(field.raw_data[0]).strip() if field.raw_data else ""
    if was is not None and typed == field.show(was, actor().units):
        return was
    return None if field.data is None else float(field.data)
