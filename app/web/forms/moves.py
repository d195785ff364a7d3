"""What moving fish asks for."""

from wtforms import DateField, HiddenField, SelectMultipleField
from wtforms.widgets import CheckboxInput, ListWidget

from app.queries.moves import MovePage
from app.web.forms.base import Form, needed, options
from app.web.forms.choosing import picked, select


class MoveForm(Form):
    """Who, where to, when; ``looked`` holds what was looked over, so that nothing else is saved."""

    who = SelectMultipleField(
        "Who moves",
        [needed("Choose who moves.")],
        validate_choice=False,
        choices=[],
        option_widget=CheckboxInput(),
        widget=ListWidget(prefix_label=False),
    )
    section_id = select("Where to", [needed("Where to? Choose a tank or section.")])
    on = DateField("Moved on", [needed("On which day?")])
    looked = HiddenField()

    def offer(self, page: MovePage) -> None:
        """Fill in who can be moved, and where to."""
        self.who.choices = options((one.key, one.words) for one in page.everybody)
        places = [(str(place.section_id), place.words) for place in page.places]
        self.section_id.choices = options([("", "Choose"), *places])

    @property
    def keys(self) -> list[str]:
        """Who was ticked."""
        return [str(key) for key in self.who.data or ()]

    def ids(self, kind: str) -> list[int]:
        """Return the numbers of the fish or batches that were ticked."""
        parts = (key.partition("-") for key in self.keys)
        return [int(number) for word, _, number in parts if word == kind and number.isdigit()]

    @property
    def chosen(self) -> str:
        """What was chosen, to be known again."""
        return f"{sorted(self.keys)} {picked(self.section_id)} {self.on.data}"
