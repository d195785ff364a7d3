"""What the calculators of ammonia, nitrate and oxygen ask for."""

from typing import ClassVar

from app.core.water.nitrate import CEILING_MG_PER_L
from app.queries.bench import ammonia, nitrate, oxygen
from app.queries.bench.answers import Answer
from app.store.actor import Actor
from app.web.forms.amounts import ph_field, salinity_field
from app.web.forms.base import needed, temperature_field, volume_field
from app.web.forms.bench.ask import AskForm, Group
from app.web.forms.bench.fields import choice_field, height_field, mass_field, mg_field, percent_field
from app.web.forms.choosing import count_field

WARMTH = "How warm is the water? Write 76 F or 24.5 C."
PROTEIN = 0.4  # a common label figure for flakes; common practice, no source


class AmmoniaForm(AskForm):
    """A kit's reading and the water it was taken in."""

    shown = mg_field(
        "Total ammonia on the kit", [needed("What does the kit show? Write 0.5.")], description="0.5, in mg/L"
    )
    kit = choice_field(
        "Counted as",
        ammonia.WORDS.items(),
        description="The kit's leaflet says so",
    )
    ph = ph_field("pH", [needed("The poisonous part hangs on pH: measure it.")])
    temperature = temperature_field("Temperature", [needed(WARMTH)], description="76 F or 24.5 C")
    called: ClassVar = {"tan_mg_per_l": "shown", "temperature_c": "temperature"}

    def answer(self, actor: Actor) -> Answer:
        """Reckon the poisonous part."""
        kit = ammonia.Kit(self.kit.data)
        return ammonia.ammonia(actor.units, self.shown.data, kit, self.ph.data, self.temperature.data)


class NitrateForm(AskForm):
    """Nitrate now, and how it got there."""

    water = volume_field(
        "Water", [needed("In how much water? Write 20 gal or 75 L.")], description="20 gal, 75 L"
    )
    now = mg_field(
        "Nitrate today", [needed("What does the kit show today? Write 25.")], description="25, in mg/L"
    )
    earlier = mg_field("Nitrate then")
    days_ago = count_field("Days ago")
    feed = mass_field("Food a day")
    protein = percent_field("Protein", default=PROTEIN)
    kit = choice_field("The kit counts", nitrate.WORDS.items())
    ceiling = mg_field(
        "Ceiling, as NO₃", default=CEILING_MG_PER_L, above_zero=True, description="20 is common practice"
    )
    source = mg_field("Nitrate in the new water", default=0.0)

    groups = (
        Group("", ("water", "now")),
        Group(
            "An earlier reading, with no change since",
            ("earlier", "days_ago"),
            hint="This, or the feed, or both: what is known.",
        ),
        Group("The feed", ("feed", "protein"), hint="Dry food, and the protein on its label."),
        Group("Kit, ceiling and new water", ("kit", "ceiling", "source"), folded=True),
    )
    called: ClassVar = {
        "litres": "water",
        "readings": "now",
        "ceiling_mg_per_l": "ceiling",
        "feed_g_per_day": "feed",
        "protein_fraction": "protein",
    }

    def answer(self, actor: Actor) -> Answer:
        """Reckon the plan."""
        kit = nitrate.Kit(self.kit.data)
        earlier = self.earlier.data
        tank = nitrate.Tank(
            self.water.data,
            nitrate.as_no3(self.now.data, kit),
            nitrate.as_no3(self.source.data or 0.0, kit),
            CEILING_MG_PER_L if self.ceiling.data is None else self.ceiling.data,
            None if earlier is None else nitrate.as_no3(earlier, kit),
            self.days_ago.data,
        )
        return nitrate.plan(actor.units, tank, self._feed(), actor.today)

    def _feed(self) -> nitrate.Feed | None:
        if self.feed.data is None:
            return None
        return nitrate.Feed(self.feed.data, PROTEIN if self.protein.data is None else self.protein.data)


class OxygenForm(AskForm):
    """Water that is warm, salted or high up."""

    temperature = temperature_field("Temperature", [needed(WARMTH)], description="76 F or 24.5 C")
    measured = mg_field("Oxygen measured", description="5.5, in mg/L; empty if it was not measured")
    salinity = salinity_field("Salt")
    height = height_field("Height above the sea", description="1500 m, 5000 ft")
    groups = (
        Group("", ("temperature", "measured")),
        Group(
            "Salted, or high up", ("salinity", "height"), folded=True, hint="Empty: fresh water at sea level."
        ),
    )
    called: ClassVar = {
        "temperature_c": "temperature",
        "salinity_g_per_kg": "salinity",
        "height_m": "height",
        "pressure_kpa": "height",
    }

    def answer(self, actor: Actor) -> Answer:
        """Reckon saturation."""
        return oxygen.saturation(
            actor.units,
            self.temperature.data,
            self.salinity.data or 0.0,
            self.height.data or 0.0,
            self.measured.data,
        )
