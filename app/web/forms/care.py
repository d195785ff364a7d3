"""What the pages of fry care and water targets ask for."""

from typing import Any

from wtforms import SelectField, StringField
from wtforms.validators import InputRequired

from app.core.fry_care import Care
from app.core.problems import Problem
from app.core.quantities import parse_hardness, parse_salinity, parse_temperature
from app.core.quantities.figures import split
from app.queries.quantities import KEPT
from app.services.targets import For
from app.store.readings import Quantity
from app.web.forms.amounts import days_field
from app.web.forms.base import AmountField, Form, needed, options, text
from app.web.forms.choosing import count_field, counted, picked, select
from app.web.forms.courses import share_field
from app.web.signin import actor

TYPED = {"autocomplete": "off"}


class FryCareForm(Form):
    """One stage of the routine."""

    line_id = select("For")
    from_age_days: AmountField = days_field("From an age of", [needed("From which age on? Write 5 weeks.")])
    feeds_a_day = count_field("Feeds a day", [InputRequired("How many feeds a day?")])
    change_every_days = count_field("Days from change to change", [InputRequired("Every how many days?")])
    fraction: AmountField = share_field("Each change")

    def offer(self, lines: tuple[tuple[int, str], ...]) -> None:
        """Fill in the lines."""
        self.line_id.choices = options([("", "all lines"), *((str(number), name) for number, name in lines)])

    def told(self) -> tuple[Care, int | None]:
        """Return the stage, and the line it is for."""
        care = Care(
            round(float(self.from_age_days.data or 0.0)),
            counted(self.feeds_a_day),
            counted(self.change_every_days),
            float(self.fraction.data or 0.0),
        )
        return care, picked(self.line_id)


class BoxAndRoomForm(Form):
    """Days in a fry box, and room for each fish."""

    box_days = count_field("Days in a fry box", [InputRequired("After how many days?")])
    room = StringField(
        "Room for each fish", [needed("How much of the usual room? Write 100 %.")], render_kw=TYPED
    )

    def room_share(self) -> float:
        """Return the share of the usual litres."""
        number, words = split(text(self.room), "room", "100 %")
        if words not in {"", "%", "percent"}:
            raise Problem(f"{text(self.room)!r} is no share; write a per cent such as 80 %", "room")
        return number / 100.0


class TargetForm(Form):
    """A range of the keeper's own."""

    whom = SelectField("For", [needed("For which line or tank?")], choices=[], validate_choice=False)
    quantity = SelectField(
        "What", choices=options([(one.value, KEPT[one].title) for one in Quantity]), default="temperature"
    )
    low = StringField("At least", render_kw=TYPED)
    high = StringField("At most", render_kw=TYPED)

    def offer(self, choices: tuple[tuple[str, str], ...]) -> None:
        """Fill in lines and tanks."""
        self.whom.choices = options([("", "Choose"), *choices])

    def told(self) -> tuple[For, Quantity, float | None, float | None]:
        """Return for whom, what, and the range; raise :class:`Problem` for what cannot be read."""
        kind, _, number = text(self.whom).partition(":")
        chosen = int(number) if number.isdigit() else None
        whom = For(chosen if kind == "line" else None, chosen if kind == "tank" else None)
        quantity = Quantity(self.quantity.data)
        return whom, quantity, self._read(quantity, "low"), self._read(quantity, "high")

    def _read(self, quantity: Quantity, name: str) -> float | None:
        field: Any = getattr(self, name)
        typed = text(field)
        if not typed:
            return None
        try:
            if quantity is Quantity.TEMPERATURE:
                return parse_temperature(typed, actor().units)
            if quantity in {Quantity.GH, Quantity.KH}:
                return parse_hardness(typed, actor().units)
            if quantity is Quantity.SALINITY:
                return parse_salinity(typed)
            return split(typed, name, "7.5")[0]
        except Problem as problem:
            raise Problem(problem.message, name) from problem
