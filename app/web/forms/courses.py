"""What the pages of courses, plans and their steps ask for."""

import re
from collections.abc import Callable
from datetime import date
from typing import Any

from wtforms import DateField, HiddenField, StringField
from wtforms.fields import Field
from wtforms.validators import Optional
from wtforms.widgets import TextInput

from app.core.problems import Problem
from app.core.quantities import Units, parse_mass, parse_salinity, parse_share, show_share
from app.core.quantities.figures import split
from app.core.quantities.showing import trimmed
from app.core.water.salt_course import PLAIN_G_PER_L
from app.services.courses import CourseTold
from app.services.plain_water import PlainTold
from app.store.waters import Measure
from app.web.forms.amounts import salinity_field
from app.web.forms.base import AmountField, Form, needed, options, text, volume_field
from app.web.forms.choosing import count_field, counted, picked, select
from app.web.signin import actor

BETWEEN = re.compile(r"\s*(?:;|,\s|\bthen\b|\n)\s*")


class LevelsField(Field):
    """Rising levels of salt, typed like ``1.5, 3``; what was typed is kept."""

    widget: Any = TextInput()

    def _value(self) -> str:
        return str(self.raw_data[0]) if self.raw_data else ""

    def process_formdata(self, valuelist: list[str]) -> None:
        """Read the levels in g/L."""
        typed = valuelist[0].strip() if valuelist else ""
        self.data: tuple[float, ...] = ()
        try:
            self.data = tuple(parse_salinity(each) for each in BETWEEN.split(typed) if each)
        except Problem as problem:
            raise ValueError(f"{problem.message}. Write several like 1.5, 3") from problem


def _grams(text: str, units: Units) -> float:
    return parse_mass(text, units, of_salt=True)


def _plain(measure: str) -> Callable[[str, Units], float]:
    def read(text: str, _units: Units) -> float:
        number, words = split(text, "amount", f"5 {measure}")
        if words.lower() not in {"", measure.lower(), f"{measure}s".lower()}:
            raise Problem(f"{words!r} is not how this is measured; give {measure}", "amount")
        return number

    return read


def share_field(label: str) -> AmountField:
    """Return a field for a share of the water; a bare number is in per cent."""
    return AmountField(
        label,
        [needed("How much each time? Write 40 %.")],
        parse=lambda typed, units: parse_share(_percent(typed), None, units, "fraction"),
        show=lambda value, _: show_share(value),
    )


class CourseForm(Form):
    """A course to be laid out; ``looked`` holds what was looked over, so that nothing else is saved."""

    tank_id = select("In which tank", [needed("In which tank?")])
    levels = LevelsField("Levels of salt")
    label_amount = StringField("The label’s dose")
    label_litres = volume_field("for so much water", [Optional()])
    times = count_field("How many doses", [Optional()], default=1)
    every_days = count_field("Days from dose to dose", [Optional()], default=1)
    hold_days = count_field("Days at strength", [Optional()], default=7)
    start = DateField("First dose on", [needed("From which day?")])
    note = StringField("Note")
    looked = HiddenField()

    def offer(self, tanks: list[tuple[int, str]], *, salt: bool) -> None:
        """Fill in the tanks; salt needs its levels, anything else its label's dose."""
        wanted = (self.levels,) if salt else (self.label_amount, self.label_litres, self.times)
        for field in (*wanted, self.every_days, self.hold_days):
            field.flags.required = True
        self.tank_id.choices = options([("", "Choose"), *((str(number), name) for number, name in tanks)])

    def told(self, substance_id: int | None, measure: str, today: date) -> CourseTold:
        """Return what was filled in; raise :class:`Problem` where the label's dose cannot be read."""
        return CourseTold(
            picked(self.tank_id) or 0,
            substance_id,
            self.start.data or today,
            self.levels.data or (),
            self._per_litre(measure),
            counted(self.times),
            counted(self.every_days),
            counted(self.hold_days),
            text(self.note),
        )

    def _per_litre(self, measure: str) -> float | None:
        typed, litres = text(self.label_amount), self.label_litres.data
        if not typed:
            return None
        try:
            amount = _plain(measure)(typed, actor().units)
        except Problem as problem:
            raise Problem(problem.message, "label_amount") from problem
        if litres is None:
            raise Problem("For how much water is the label’s dose? Write 40 L or 10 gal.", "label_litres")
        return amount / float(litres)

    @property
    def chosen(self) -> str:
        """What was filled in, to be known again."""
        asked = (self.tank_id, self.levels, self.label_amount, self.label_litres, self.times)
        days = (self.every_days, self.hold_days, self.start)
        return " ".join(str(field.data) for field in (*asked, *days))


class PlainForm(Form):
    """The way back to plain water."""

    fraction = share_field("Each change")
    every_days = count_field("Days from change to change", [needed("Every how many days?")], default=1)
    source_id = select("With which water", [needed("With which water?")])
    target = salinity_field("Until at most", [Optional()])
    start = DateField("First change on", [needed("From which day?")])
    looked = HiddenField()

    def offer(self, waters: tuple[tuple[int, str], ...]) -> None:
        """Fill in the waters."""
        self.source_id.choices = options([("", "Choose"), *((str(number), name) for number, name in waters)])

    def told(self, today: date, case_id: int | None) -> PlainTold:
        """Return what was filled in."""
        target = self.target.data
        return PlainTold(
            self.fraction.data or 0.0,
            counted(self.every_days),
            picked(self.source_id) or 0,
            self.start.data or today,
            PLAIN_G_PER_L if target is None else float(target),
            case_id,
        )

    @property
    def chosen(self) -> str:
        """What was filled in, to be known again."""
        asked = (self.fraction, self.every_days, self.source_id, self.target, self.start)
        return " ".join(str(field.data) for field in asked)


def _percent(typed: str) -> str:
    """Take a bare number for a share in per cent."""
    return f"{typed} %" if re.fullmatch(r"[\d.,]+", typed.strip()) else typed


class StepForm(Form):
    """A step that was done."""

    on = DateField("Done on", [needed("On which day?")])
    amount = StringField("Added")
    source_id = select("With which water")
    note = StringField("Note")

    def offer(self, waters: tuple[tuple[int, str], ...]) -> None:
        """Fill in the waters."""
        self.source_id.choices = options(
            [("", "Not told"), *((str(number), name) for number, name in waters)]
        )

    def poured(self, measure: str, exact: float | None) -> float | None:
        """Return what was added: the exact amount where the field was left as it was shown."""
        typed = text(self.amount)
        if exact is not None and typed in {"", shown_amount(exact)}:
            return exact
        if not typed:
            return None
        read = _grams if measure == Measure.GRAM else _plain(measure)
        try:
            return read(typed, actor().units)
        except Problem as problem:
            raise Problem(problem.message, "amount") from problem


def shown_amount(amount: float) -> str:
    """Return an amount as the field of a step shows it."""
    return trimmed(amount, 1 if amount >= 1 else 3)


class WaitForm(Form):
    """So many days more of a quarantine."""

    days = count_field("Wait longer", [needed("How many days longer?")], id="wait-days")


class EndForm(Form):
    """The end of a plan."""

    on = DateField("Ended on", [needed("On which day?")], id="plan-end-on")
    outcome = StringField("How it went", id="plan-outcome")
