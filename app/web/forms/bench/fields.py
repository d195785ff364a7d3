"""Fields only the water bench asks with: shares, mg/L, spoons of salt, gravity, heights and degrees apart."""

import re
from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from typing import Any

from wtforms import DateField, SelectField, StringField

from app.core.problems import Problem
from app.core.quantities import Units, parse_length, parse_mass, parse_share, show_mass, show_share
from app.core.quantities.figures import split
from app.core.quantities.showing import trimmed
from app.core.wording import day_words
from app.web.forms.base import AmountField, needed, options, text

FAR = timedelta(days=366)
LIGHTEST, HEAVIEST = 0.99, 1.04
MG_PER_L: Mapping[str, float] = {"": 1.0, "mg/l": 1.0, "ppm": 1.0, "mg per l": 1.0}
PLAIN: Mapping[str, float] = {"": 1.0}


def figure_field(
    label: str,
    validators: Any = None,  # noqa: ANN401 - WTForms' own looseness
    *,
    units: Mapping[str, float] = PLAIN,
    example: str = "20",
    above_zero: bool = False,
    **more: Any,  # noqa: ANN401
) -> AmountField:
    """Return a field for a figure of 0 or more that may carry one of ``units``."""

    def parse(typed: str, _units: Units) -> float:
        number, words = split(typed, "figure", example)
        if words not in units:
            raise Problem(f"{words!r} is not a unit known here; write {example}", "figure")
        if number < 0 or (above_zero and number == 0):
            raise Problem(
                f"{typed!r} cannot be; give {'more than 0' if above_zero else '0 or more'}", "figure"
            )
        return number * units[words]

    return AmountField(label, validators, parse=parse, show=_plain, **more)


def mg_field(label: str, validators: Any = None, **more: Any) -> AmountField:  # noqa: ANN401
    """Return a field that takes ``20``, ``20 mg/L`` or ``20 ppm``."""
    return figure_field(label, validators, units=MG_PER_L, example="20 mg/L", **more)


def percent_field(label: str, validators: Any = None, **more: Any) -> AmountField:  # noqa: ANN401
    """Return a field that takes ``45 %`` or ``45`` and gives a share."""
    return AmountField(label, validators, parse=_percent, show=lambda share, _: show_share(share), **more)


def salt_field(label: str, validators: Any = None, **more: Any) -> AmountField:  # noqa: ANN401
    """Return a field that takes ``90 g`` or ``1 tbsp`` of salt and gives grams."""
    return AmountField(
        label,
        validators,
        parse=lambda typed, units: parse_mass(typed, units, of_salt=True),
        show=lambda grams, _: show_mass(grams),
        **more,
    )


def mass_field(label: str, validators: Any = None, **more: Any) -> AmountField:  # noqa: ANN401
    """Return a field that takes ``5 g`` or ``1 oz`` and gives grams."""
    return AmountField(label, validators, parse=parse_mass, show=lambda grams, _: show_mass(grams), **more)


def gravity_field(label: str, validators: Any = None, **more: Any) -> AmountField:  # noqa: ANN401
    """Return a field that takes ``SG 1.003`` or ``1.003``."""
    return AmountField(label, validators, parse=_gravity, show=lambda value, _: f"SG {value:.4f}", **more)


def height_field(label: str, validators: Any = None, **more: Any) -> AmountField:  # noqa: ANN401
    """Return a field that takes ``1500 m`` or ``5000 ft`` above the sea and gives metres."""
    return AmountField(label, validators, parse=_height, show=_plain, **more)


def apart_field(label: str, validators: Any = None, **more: Any) -> AmountField:  # noqa: ANN401
    """Return a field for a difference of temperature, ``2 C`` or ``4 F``, that gives °C."""
    return AmountField(label, validators, parse=_apart, show=_show_apart, **more)


def choice_field(label: str, pairs: Iterable[tuple[str, str]], **more: Any) -> SelectField:  # noqa: ANN401
    """Return a list to choose from; the first is chosen unless another is, and a strange one is refused."""
    listed = tuple(pairs)
    return SelectField(
        label, [needed("Choose one of the list.")], choices=options(listed), default=listed[0][0], **more
    )


def part(field: StringField, litres: float, units: Units) -> float:
    """Return the share of ``litres`` that a text such as ``30 %`` or ``5 gal`` means."""
    number, words = split(text(field), field.name, "30 % or 5 gal")
    if not words:
        percent = trimmed(100 * number if abs(number) <= 1 else number, 2)
        raise Problem(f"{text(field)} of what? Write {percent} % or {text(field)} L", field.name)
    return parse_share(text(field), litres, units, field.name)


def near(field: DateField, today: date) -> date:
    """Return the day, today unless another is given; a slip of the year is refused."""
    day = field.data or today
    if abs(day - today) > FAR:
        raise Problem(f"{day_words(day)} is far from today; give a day within a year", field.name)
    return day


def _percent(typed: str, _units: Units) -> float:
    number, words = split(typed, "share", "45 %")
    if words not in {"", "%", "percent"}:
        raise Problem(f"{typed!r} is not a share; write 45 %", "share")
    if not words and 0 < number < 1:
        raise Problem(f"{typed} could be a share or a per cent; write {trimmed(100 * number, 2)} %", "share")
    if not 0 <= number <= 100:
        raise Problem(f"{typed!r} cannot be; give 0 to 100 %", "share")
    return number / 100.0


def _gravity(typed: str, _units: Units) -> float:
    plain = re.sub(r"(?i)\bs\.?g\.?|specific gravity", "", typed).replace(",", ".")
    number, words = split(plain, "gravity", "SG 1.003")
    if words:
        raise Problem(f"{typed!r} is no specific gravity; write one such as SG 1.003", "gravity")
    if not LIGHTEST <= number <= HEAVIEST:
        way = (
            f" {number:g} on a scale without the point? Write SG {number / 1000:g}."
            if 990 <= number <= 1040
            else ""
        )
        raise Problem(f"{typed!r} is no specific gravity of water; give 1.000 to 1.030.{way}", "gravity")
    return number


def _height(typed: str, units: Units) -> float:
    bare = "m" if units is Units.METRIC else "ft"
    number, words = split(typed, "height", "1500 m or 5000 ft")
    sign = -1.0 if number < 0 else 1.0
    if number == 0:
        return 0.0
    return sign * parse_length(f"{abs(number):f} {words or bare}", units, "height") / 1000.0


def _apart(typed: str, units: Units) -> float:
    number, words = split(typed, "apart", "2 C or 4 F")
    scale = words.replace("°", "").strip() or ("f" if units is Units.US else "c")
    if scale not in {"c", "f"} or number <= 0:
        raise Problem(f"{typed!r} is no difference in temperature; write 2 C or 4 F", "apart")
    return number * 5.0 / 9.0 if scale == "f" else number


def _show_apart(celsius: float, units: Units) -> str:
    if units is Units.US:
        return f"{trimmed(celsius * 1.8, 1)} °F"
    return f"{trimmed(celsius, 1)} °C"


def _plain(value: float, _units: Units) -> str:
    return trimmed(value, 4)
