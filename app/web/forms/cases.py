"""What the case pages ask for."""

from datetime import date

from werkzeug.datastructures import FileStorage
from wtforms import (
    BooleanField,
    DateField,
    FileField,
    RadioField,
    SelectField,
    SelectMultipleField,
    StringField,
    TextAreaField,
)
from wtforms.validators import Optional
from wtforms.widgets import CheckboxInput, ListWidget

from app.queries.cases import CasesPage
from app.services.case_endings import FATAL
from app.services.cases import CaseTold, Ending
from app.services.pictures import MOST_BYTES
from app.store.cases import Ailing, CaseOutcome
from app.web.forms.base import Form, kinds, needed, options, text
from app.web.forms.choosing import count_field, counted

TAKEN = {"accept": "image/*", "capture": "environment"}
CHOSEN = {"accept": "image/*"}


class CaseFields(Form):
    """What is said of a case."""

    opened_on = DateField("First seen on", [needed("On which day was it first seen?")])
    title = StringField("Title")
    suspected = StringField("What you suspect")
    note = TextAreaField("Note")

    def told(self, today: date) -> CaseTold:
        """Return what was filled in."""
        return CaseTold(self.opened_on.data or today, text(self.title), text(self.suspected), text(self.note))


class CaseForm(CaseFields):
    """A new case, with the signs of its first day."""

    signs = SelectMultipleField(
        "What is seen",
        [needed("What is seen? Tick at least one sign.")],
        choices=kinds(Ailing),
        option_widget=CheckboxInput(),
        widget=ListWidget(prefix_label=False),
    )

    @property
    def seen(self) -> list[Ailing]:
        """The signs that were ticked."""
        return [Ailing(value) for value in self.signs.data or ()]


class CaseSignForm(Form):
    """One more sign; each kind is a button of its own on the case's page."""

    seen_on = DateField("Seen on", [needed("On which day?")])
    kind = SelectField("Sign", [needed("What was seen?")], choices=kinds(Ailing))
    note = StringField("Note", id="sign-note")


class GoneForm(Form):
    """The day a sign was seen no more."""

    on = DateField("Gone on", [Optional()])


class CloseForm(Form):
    """How a case ended; a fish that died leaves with it, a batch loses as many as are told."""

    outcome = RadioField("How did it end", [needed("How did it end?")], choices=kinds(CaseOutcome))
    on = DateField("On", [needed("On which day?")])
    what_helped = TextAreaField("What helped, or what you would do next time")
    leaves = BooleanField("If it died or was killed: log that, too", default=True)
    lost = count_field("How many died or were killed with it", [Optional()], default=0)

    def ending(self, today: date, kind: str) -> Ending:
        """Return what was filled in, for a fish, a batch or a tank."""
        outcome = CaseOutcome(self.outcome.data)
        fish = int(bool(self.leaves.data) and outcome in FATAL)
        gone = {"fish": fish, "batch": counted(self.lost)}.get(kind, 0)
        return Ending(self.on.data or today, outcome, text(self.what_helped), gone)


class PhotoForm(Form):
    """A photo, taken now or chosen."""

    camera = FileField("Take a photo", render_kw=TAKEN)
    photo = FileField("Choose a photo", render_kw=CHOSEN)
    taken_on = DateField("Taken on", [needed("On which day?")])
    note = StringField("What it shows", id="photo-note")

    def upload(self) -> bytes:
        """Return what was sent, up to just above the largest that is taken."""
        for field in (self.camera, self.photo):
            if isinstance(field.data, FileStorage) and field.data.filename:
                return field.data.stream.read(MOST_BYTES + 1)
        return b""


class SoughtForm(Form):
    """What to look for among the cases; sent by GET, so that it can be kept as a bookmark."""

    words = StringField("Words")
    sign = SelectField("Sign", validate_choice=False)
    substance = SelectField("What was used", validate_choice=False)
    outcome = SelectField("How it ended", validate_choice=False)

    def offer(self, page: CasesPage) -> None:
        """Fill in what can be chosen."""
        self.sign.choices = _any(page.signs)
        self.substance.choices = _any(page.substances)
        self.outcome.choices = _any(page.outcomes)


def _any(words: tuple[str, ...]) -> list[tuple[str, str]]:
    found: list[tuple[str, str]] = options([("", "Any"), *((word, word.capitalize()) for word in words)])
    return found
