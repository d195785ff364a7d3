"""What logging a sign asks for."""

from datetime import date

from wtforms import DateField, RadioField, StringField

from app.store.signs import SignKind
from app.web.forms.base import Form, kinds, needed


class SignForm(Form):
    """One sign; each kind is a button of its own on the fish's page."""

    seen_on = DateField("Seen on", [needed("On which day?")])
    note = StringField("Note")
    kind = RadioField("What was seen", [needed("What was seen?")], choices=kinds(SignKind))

    def day(self, today: date) -> date:
        """Return the day it was seen."""
        return self.seen_on.data or today
