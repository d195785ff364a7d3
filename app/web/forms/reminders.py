"""What answering a reminder asks for."""

from wtforms import HiddenField, SelectField

from app.store.reminders import AnswerKind
from app.web.forms.base import Form, kinds


class AnswerForm(Form):
    """Which reminder, and done, later or not needed."""

    key = HiddenField("Reminder")
    words = HiddenField("What it said")
    kind = SelectField("Answer", choices=kinds(AnswerKind))
