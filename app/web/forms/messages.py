"""What a member's morning messages ask for."""

from datetime import time

from wtforms import StringField, TimeField

from app.web.forms.base import Form, needed

MORNING = time(7)


class TimeForm(Form):
    """When to send."""

    send_at = TimeField("Time", [needed("At what time?")])

    @property
    def clock(self) -> time:
        """The time that was given; asked for once the form holds."""
        return self.send_at.data or MORNING


class ChannelForm(TimeForm):
    """An address, and when to send there."""

    address = StringField(
        "Address",
        [needed("Where should it go?")],
        render_kw={"autocomplete": "off", "autocapitalize": "off", "spellcheck": "false"},
    )
    send_at = TimeField("Time", [needed("At what time?")], default=MORNING)
