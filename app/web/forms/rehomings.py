"""What the rehoming pages ask for."""

from typing import Any

from wtforms import StringField, TextAreaField
from wtforms.validators import InputRequired, Optional

from app.core.problems import Problem
from app.core.quantities import Units
from app.core.quantities.figures import split
from app.core.quantities.showing import trimmed
from app.queries.choices import Choices
from app.web.forms.base import AmountField, Form, options
from app.web.forms.batches import day
from app.web.forms.choosing import count_field, select


def _price(text: str, _units: Units) -> float:
    number, words = split(text, "price", "12.50")
    if words:
        raise Problem(f"{text.strip()!r} is no price; write the number alone, like 12.50", "price")
    return number


def price_field(label: str, validators: Any = None) -> AmountField:  # noqa: ANN401
    """Return a field for money, in whatever the keeper counts in."""
    return AmountField(label, validators, parse=_price, show=lambda value, _: trimmed(value, 2))


class GoneForm(Form):
    """Where fish went, and for what."""

    to_whom = StringField("To whom")
    price = price_field("Price", [Optional()])
    on = day()
    note = TextAreaField("Note")


class RehomeForm(GoneForm):
    """Some or all of a batch."""

    number = count_field("How many", [InputRequired("How many go?")])
    want = select("For someone who waits")

    def offer(self, waiting: Choices) -> "RehomeForm":
        """Offer who waits for fish like these."""
        listed = ((str(want_id), words) for want_id, words in waiting)
        self.want.choices = options([("", "Nobody on the list"), *listed])
        return self
