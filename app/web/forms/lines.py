"""What the line pages ask for."""

from typing import Any

from wtforms import SelectField, StringField, TextAreaField
from wtforms.validators import Optional

from app.core.species import SPECIES
from app.queries.lines import LinePage
from app.services.lines import NewLine
from app.web.forms.amounts import days_field, unrounded
from app.web.forms.base import Form, length_field, needed, options, text


def species_choices(first: str) -> list[Any]:
    """Return every species of the table, by common name."""
    ordered = sorted(SPECIES.values(), key=lambda each: each.common_name.lower())
    named = ((each.key, f"{each.common_name} ({each.scientific_name})") for each in ordered)
    return options([("", first), *named])


class LineForm(Form):
    """A line and the keeper's own numbers."""

    name = StringField("Name", [needed("Give the line a name, as you call it.")])
    species = SelectField(
        "Species", [needed("Choose the species.")], choices=species_choices("Choose"), validate_choice=False
    )
    interval_days = days_field("Days between drops", [Optional()])
    sexable_age_days = days_field("Age at sexing", [Optional()])
    sale_length_mm = length_field("Rehoming length", [Optional()])
    note = TextAreaField("Note")

    def given(self, was: LinePage | None = None) -> NewLine:
        """Return what was filled in."""
        return NewLine(
            text(self.name),
            text(self.species),
            text(self.note),
            interval_days=unrounded(self.interval_days, was.interval_days if was else None),
            sale_length_mm=unrounded(self.sale_length_mm, was.sale_length_mm if was else None),
            sexable_age_days=unrounded(self.sexable_age_days, was.sexable_age_days if was else None),
        )
