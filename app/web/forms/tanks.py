"""What the tank pages ask for."""

from collections.abc import Sequence

from wtforms import BooleanField, IntegerField, SelectField, StringField, TextAreaField
from wtforms.validators import InputRequired, NumberRange, Optional

from app.services.tanks import Life
from app.store.tanks import SectionKind
from app.web.forms.amounts import mass_field, unrounded
from app.web.forms.base import (
    Form,
    kinds,
    length_field,
    needed,
    options,
    temperature_field,
    volume_field,
)
from app.web.forms.choosing import select


class TankFields(Form):
    """What a tank is."""

    name = StringField("Name or number", [needed("Give the tank a name or number, as written on it.")])
    litres = volume_field("Volume", [needed("How much water does it hold? Write 54 L or 10 gal.")])
    set_point_c = temperature_field("Heater set to", [Optional()])
    quarantine = BooleanField("Quarantine tank")
    planted = BooleanField("Planted")
    invertebrates = BooleanField("Snails or shrimps")
    soft_water_mates = BooleanField("Soft-water tank mates")
    feed_g_per_day = mass_field("Dry food a day", [Optional()])
    note = TextAreaField("Note")

    def life(self, kept: float | None = None) -> Life:
        """Return what else lives there and what it is fed; ``kept`` is the amount before."""
        return Life(
            bool(self.planted.data),
            bool(self.invertebrates.data),
            bool(self.soft_water_mates.data),
            unrounded(self.feed_g_per_day, kept),
        )


class TankForm(TankFields):
    """A new tank."""

    sections = IntegerField("Sections", [InputRequired("How many sections?"), NumberRange(1, 12)], default=1)


class TankEditForm(TankFields):
    """An existing tank; its sections change on its page."""

    position = IntegerField("Place in the walk", [InputRequired("Which place in the walk?"), NumberRange(1)])


class SectionForm(Form):
    """A divider or a fry box."""

    name = StringField("Name", [needed("Give the section a name, like “box” or “left”.")])
    kind = SelectField("What it is", choices=kinds(SectionKind)[1:])
    gap_mm = length_field("Widest gap", [Optional()])


class GapForm(Form):
    """The gap of a section that stands already."""

    of_section = select("Of which section", [needed("Of which section?")])
    new_gap = length_field("Its widest gap", [Optional()])

    def offer(self, sections: Sequence[tuple[int, str]]) -> None:
        """Fill in the sections that can be taken out."""
        self.of_section.choices = options([(str(number), name) for number, name in sections])
