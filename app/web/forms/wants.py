"""What is asked about someone who waits for fish."""

from wtforms import SelectField, StringField, TextAreaField
from wtforms.validators import InputRequired

from app.queries.choices import Choices
from app.services.wants import Wanted
from app.store.actor import Actor
from app.store.batches import BatchSex
from app.web.forms.base import Form, needed, options, text
from app.web.forms.batches import day
from app.web.forms.choosing import count_field, counted, picked, select

SEXES = (
    (BatchSex.MIXED.value, "Either sex"),
    (BatchSex.FEMALES.value, "Females"),
    (BatchSex.MALES.value, "Males"),
)


class WantForm(Form):
    """Who waits, and what for."""

    who = StringField("Who waits", [needed("Who waits? A name or a word that tells you who.")])
    line_id = select("Line", [needed("Fish of which line?")])
    number = count_field("How many", [InputRequired("How many fish?")])
    sex = SelectField("Of which sex", choices=options(SEXES))
    since = day("Waits since")
    note = TextAreaField("Note")

    def offer(self, lines: Choices) -> "WantForm":
        """Offer the fishroom's lines."""
        self.line_id.choices = options([("", "Choose"), *((str(line_id), name) for line_id, name in lines)])
        return self

    def told(self, actor: Actor) -> Wanted:
        """Return what was filled in."""
        return Wanted(
            text(self.who),
            picked(self.line_id) or 0,
            counted(self.number),
            self.since.data or actor.today,
            BatchSex(self.sex.data),
            text(self.note),
        )


class PromiseForm(Form):
    """The batch that fish are promised from, or none."""

    batch_id = select("Promise from")

    def offer(self, offers: Choices) -> "PromiseForm":
        """Offer the batches that could give them."""
        self.batch_id.choices = options(
            [("", "No promise"), *((str(batch_id), words) for batch_id, words in offers)]
        )
        return self
