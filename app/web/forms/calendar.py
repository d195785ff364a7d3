"""What making a calendar address asks for."""

from wtforms import SelectField, SelectMultipleField, StringField
from wtforms.widgets import CheckboxInput, ListWidget

from app.queries.almanac import KINDS
from app.web.forms.base import Form, options
from app.web.forms.choosing import number


class FeedForm(Form):
    """What the calendar is for, what it shows, and whether it rings."""

    label = StringField("Name", render_kw={"autocomplete": "off"})
    kinds = SelectMultipleField(
        "What it shows",
        choices=options(KINDS.items()),
        default=list(KINDS),
        option_widget=CheckboxInput(),
        widget=ListWidget(prefix_label=False),
    )
    alarm_hour = SelectField(
        "Ring on the first day",
        coerce=number,
        choices=options([("", "Never"), *((str(hour), f"{hour:02}:00") for hour in range(5, 23))]),
    )
