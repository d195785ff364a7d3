"""What answering a reminder asks for, and what is chosen about all of them."""

from wtforms import HiddenField, SelectField, TimeField
from wtforms.validators import Optional

from app.core.reminders import RULES
from app.queries.reminders import RemindersPage
from app.store.reminders import AnswerKind
from app.web.forms.base import Form, needed, options
from app.web.forms.choosing import count_field, select

NEVER = "never"


class AnswerForm(Form):
    """Which reminder, and done, later, not needed or never for this one."""

    key = HiddenField("Reminder")
    rule = HiddenField("Rule")
    subject = HiddenField("About")
    words = HiddenField("What it said")
    kind = SelectField(
        "Answer",
        choices=options((one, one.capitalize()) for one in (*(kind.value for kind in AnswerKind), NEVER)),
    )


class LeadsForm(Form):
    """How many days ahead each rule speaks; a field for every rule that has a lead time."""

    def days(self) -> dict[str, int | None]:
        """Return what was chosen, by rule."""
        return {key: self[key].data for key in LEAD_KEYS}


LEAD_KEYS = tuple(rule.key for rule in RULES if rule.lead is not None)
for _rule in RULES:
    if _rule.lead is not None:
        setattr(LeadsForm, _rule.key, count_field(_rule.title, [needed("How many days ahead?")]))


class LineLeadForm(Form):
    """A lead time for one line."""

    rule = SelectField("Reminder", choices=options((r.key, r.title) for r in RULES if r.lead is not None))
    line_id = select("Line", [needed("Which line?")])
    days = count_field("Days ahead", [needed("How many days ahead?")])

    def offer(self, page: RemindersPage) -> "LineLeadForm":
        """Offer the fishroom's lines."""
        self.line_id.choices = options((str(line_id), name) for line_id, name in page.lines)
        return self


class SilenceForm(Form):
    """A rule that is never to speak at all."""

    silenced = SelectField("Reminder", choices=options((rule.key, rule.title) for rule in RULES))


class EmptyForm(Form):
    """How far ahead the short message of a morning with nothing new looks."""

    empty_days = count_field("Look ahead", [needed("How many days ahead? 0 sends none.")])


class QuietForm(Form):
    """The hours in which no message leaves."""

    quiet_from = TimeField("Quiet from", [Optional()])
    quiet_to = TimeField("Quiet until", [Optional()])
