"""What logging temperatures asks for."""

from collections.abc import Sequence
from typing import Any

from wtforms import DateField, HiddenField, TextAreaField, TimeField
from wtforms.validators import Optional

from app.queries.readings import TankToRead
from app.services.moments import moment
from app.services.readings import Shown
from app.store.actor import Actor
from app.web.forms.base import AmountField, Form, needed, temperature_field

KEYPAD = {"inputmode": "text", "autocomplete": "off", "enterkeyhint": "send"}


class ReadingForm(Form):
    """One temperature; the day and hour are now unless said."""

    temperature_c = temperature_field("Temperature", [needed("What does it show?")], render_kw=KEYPAD)
    on = DateField("Day", [Optional()])
    at = TimeField("Time", [Optional()])


class PasteForm(Form):
    """Lines of dates and temperatures; ``looked`` holds what was looked over."""

    lines = TextAreaField("Dates and temperatures", [needed("Paste one date and temperature a line.")])
    looked = HiddenField()


class WalkForm(Form):
    """One field for every tank of the walk, made by :func:`walk_form`; one that waited says when."""

    on = DateField("Day", [Optional()])
    at = TimeField("Time", [Optional()])

    def fields_by_tank(self) -> dict[int, AmountField]:
        """Return the fields by the tank's number."""
        return {
            int(name.removeprefix("tank_")): field
            for name, field in self._fields.items()
            if isinstance(field, AmountField)
        }

    def shown(self, actor: Actor) -> list[Shown]:
        """Return what was typed, taken now unless said; tanks left empty were not read."""
        now = moment(actor, self.on.data or actor.today, self.at.data)
        return [
            Shown(tank_id, now, float(field.data))
            for tank_id, field in self.fields_by_tank().items()
            if field.data is not None
        ]


def walk_form(tanks: Sequence[TankToRead]) -> WalkForm:
    """Return a form that asks for the temperature of every tank in walking order."""
    fields: dict[str, Any] = {
        f"tank_{tank.id}": temperature_field(tank.name, [Optional()], render_kw=KEYPAD) for tank in tanks
    }
    made: type[WalkForm] = type("WalkForm", (WalkForm,), fields)
    return made()
