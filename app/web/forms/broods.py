"""What the drop pages ask for."""

from wtforms import BooleanField, DateField, RadioField, TextAreaField
from wtforms.validators import InputRequired, Optional

from app.queries.broods import DropPage
from app.services.broods import Movers
from app.store.carryings import Outcome
from app.web.forms.base import Form, kinds, needed, options
from app.web.forms.choosing import count_field, select


class DropFields(Form):
    """When a drop fell, and how many fry."""

    dropped_from = DateField("Day of the drop", [needed("On which day?")])
    dropped_to = DateField("Or between that day and", [Optional()])
    live = count_field("Live fry", [InputRequired("How many live fry? 0 if there were none.")])
    dead = count_field("Dead", [Optional()])
    early = count_field("Early, with a yolk sac", [Optional()])
    sooner = BooleanField("It was a second drop, so soon after the other")
    note = TextAreaField("Note")


class DropForm(DropFields):
    """A drop to be logged; everything but the live fry has a default."""

    section_id = select("Where the fry are")
    parents_moved_to = select("Parents moved out to")
    movers = RadioField("Who was moved", choices=kinds(Movers), default=Movers.ALL)

    def offer(self, page: DropPage) -> None:
        """Fill in the places."""
        places = [(str(place.section_id), place.words) for place in page.places]
        self.section_id.choices = options(places if page.section_id else [("", "Choose"), *places])
        self.section_id.flags.required = True
        self.parents_moved_to.choices = options([("", "Nobody was moved"), *places])


class SettleForm(Form):
    """What became of a drop that did not come."""

    outcome = RadioField(
        "What became of it",
        [InputRequired("Was she not carrying, or was the drop missed or eaten?")],
        choices=options(
            (kind.value, kind.value.capitalize()) for kind in (Outcome.NOT_CARRYING, Outcome.MISSED)
        ),
    )
