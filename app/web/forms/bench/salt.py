"""What the salt calculators ask for."""

from typing import ClassVar

from wtforms import StringField

from app.core.problems import Problem
from app.queries.bench import gravity, salt
from app.queries.bench.answers import Answer
from app.store.actor import Actor
from app.web.forms.amounts import salinity_field
from app.web.forms.base import needed, temperature_field, volume_field
from app.web.forms.bench.ask import AskForm, Group
from app.web.forms.bench.fields import gravity_field, part, salt_field

WATER = "In how much water? Write 10 gal or 38 L."
WATER_HINT = "What is truly in it, less gravel and the gap on top: 10 gal, 38 L"
STRENGTH_HINT = "3 g/L, 2 ppt or SG 1.003"


class TargetForm(AskForm):
    """A strength to be reached."""

    water = volume_field("Water", [needed(WATER)], description=WATER_HINT)
    target = salinity_field("Wanted strength", [needed("Which strength is wanted? Write 2.4 g/L.")])
    now = salinity_field("Strength now")
    most_per_day = salinity_field("Most in a day")

    groups = (
        Group("", ("water", "target")),
        Group(
            "Salted already, or in steps",
            ("now", "most_per_day"),
            folded=True,
            hint="Empty: fresh water, all at once.",
        ),
    )
    called: ClassVar = {"litres": "water", "target_g_per_l": "target"}

    def answer(self, actor: Actor) -> Answer:
        """Reckon the salt."""
        most = self.most_per_day.data
        if most is not None and most <= 0:
            raise Problem("0 a day never arrives; give more, or leave it empty", "most_per_day")
        return salt.to_target(
            actor.units, self.water.data, self.now.data or 0.0, self.target.data, most, actor.today
        )


class TopUpForm(AskForm):
    """A change that took salt with it."""

    water = volume_field("Water in the whole tank", [needed(WATER)], description=WATER_HINT)
    before = salinity_field(
        "Strength before the change", [needed("How strong was it before? Write 2.4 g/L.")]
    )
    change = StringField(
        "Changed", [needed("How much was changed? Write 30 % or 3 gal.")], description="30 % or 3 gal"
    )
    source = salinity_field("Strength of the new water")
    target = salinity_field("Wanted strength")

    groups = (
        Group("", ("water", "before", "change")),
        Group(
            "New water salted, or another strength wanted",
            ("source", "target"),
            folded=True,
            hint="Empty: fresh water, and the strength as before.",
        ),
    )
    called: ClassVar = {"litres": "water", "target_g_per_l": "target", "fraction": "change"}

    def answer(self, actor: Actor) -> Answer:
        """Reckon the salt that went."""
        litres, before = self.water.data, self.before.data
        share = part(self.change, litres, actor.units)
        target = before if self.target.data is None else self.target.data
        return salt.top_up(actor.units, litres, before, share, self.source.data or 0.0, target)


class StrengthForm(AskForm):
    """Salt that is or will be in the water."""

    water = volume_field("Water", [needed(WATER)], description=WATER_HINT)
    amount = salt_field(
        "Salt", [needed("How much salt? Write 90 g or 1 tbsp.")], description="90 g, 1 tbsp, 2 tsp"
    )
    now = salinity_field("Strength before")
    groups = (
        Group("", ("water", "amount")),
        Group("Salted already", ("now",), folded=True, hint="Empty: fresh water."),
    )
    called: ClassVar = {"litres": "water", "grams": "amount"}

    def answer(self, actor: Actor) -> Answer:
        """Reckon the strength."""
        return salt.strength(actor.units, self.water.data, self.amount.data, self.now.data or 0.0)


class GravityForm(AskForm):
    """A hydrometer's figure, or the salt it should show."""

    shown = gravity_field("Specific gravity")
    salinity = salinity_field("or salinity")
    temperature = temperature_field(
        "Temperature of the water", [needed("How warm is the water? Write 76 F or 24.5 C.")], default=25.0
    )
    reference = temperature_field(
        "The hydrometer's reference temperature",
        [needed("The reference is printed on it; 25 °C is usual.")],
        default=25.0,
        description="Printed on the scale, such as 25/25 °C or 60 °F: the second figure",
    )
    groups = (
        Group("Give one of the two", ("shown", "salinity"), hint="SG 1.003, or 5 ppt, or 5 g/L."),
        Group("", ("temperature", "reference")),
    )
    called: ClassVar = {
        "specific_gravity": "shown",
        "salinity_g_per_kg": "salinity",
        "temperature_c": "temperature",
        "reference_c": "reference",
    }

    def answer(self, actor: Actor) -> Answer:
        """Turn one into the other."""
        return gravity.gravity(
            actor.units,
            shown=self.shown.data,
            salinity_g_per_l=self.salinity.data,
            temperature_c=self.temperature.data,
            reference_c=self.reference.data,
        )
