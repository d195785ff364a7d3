"""What the calculators of acclimation and live food ask for."""

from datetime import datetime, time
from typing import Any, ClassVar

from wtforms import DateField, TimeField

from app.core.water.acclimation import Limits, WaterState
from app.core.water.brine_shrimp import NAUPLII_PER_G
from app.queries.bench import acclimation, brine_shrimp
from app.queries.bench.answers import Answer
from app.store.actor import Actor
from app.web.forms.amounts import hardness_field, salinity_field
from app.web.forms.base import needed, temperature_field
from app.web.forms.bench.ask import AskForm, Group
from app.web.forms.bench.fields import apart_field, figure_field, near

USUAL = Limits()


class AcclimationForm(AskForm):
    """Two waters, and the most that may change in a day."""

    from_salinity = salinity_field("Their salinity")
    from_gh = hardness_field("Their GH")
    from_temperature = temperature_field("Their temperature")
    to_salinity = salinity_field("Your salinity")
    to_gh = hardness_field("Your GH")
    to_temperature = temperature_field("Your temperature")
    start = DateField("First step on", [needed("From which day?")])
    most_salinity = salinity_field("Salinity a day")
    most_gh = hardness_field("GH a day")
    most_temperature = apart_field("Temperature a day", description="2 C, 4 F")

    groups = (
        Group(
            "The water they come from",
            ("from_salinity", "from_gh", "from_temperature"),
            hint="8 ppt or SG 1.005; 20 dH or 350 ppm; 82 F. Leave empty what is not known.",
        ),
        Group("The tank they go to", ("to_salinity", "to_gh", "to_temperature"), hint="0 for fresh water."),
        Group("", ("start",)),
        Group(
            "Most in a day",
            ("most_salinity", "most_gh", "most_temperature"),
            folded=True,
            hint="Empty: 1.5 g/L, 3 °dH and 2 °C (3.6 °F), common practice without a source.",
        ),
    )
    called: ClassVar = {
        "from": "from_salinity",
        "from.salinity_g_per_l": "from_salinity",
        "from.gh_dh": "from_gh",
        "from.temperature_c": "from_temperature",
        "to.salinity_g_per_l": "to_salinity",
        "to.gh_dh": "to_gh",
        "to.temperature_c": "to_temperature",
        "limits_per_day": "most_salinity",
        "limits_per_day.salinity_g_per_l": "most_salinity",
        "limits_per_day.gh_dh": "most_gh",
        "limits_per_day.temperature_c": "most_temperature",
    }

    def usual(self, actor: Actor) -> dict[str, Any]:
        """Begin today."""
        return {"start": actor.today}

    def answer(self, actor: Actor) -> Answer:
        """Plan the steps."""
        origin = WaterState(self.from_salinity.data, self.from_gh.data, self.from_temperature.data)
        tank = WaterState(self.to_salinity.data, self.to_gh.data, self.to_temperature.data)
        limits = Limits(
            _or(self.most_salinity.data, USUAL.salinity_g_per_l),
            _or(self.most_gh.data, USUAL.gh_dh),
            _or(self.most_temperature.data, USUAL.temperature_c),
        )
        return acclimation.steps(actor.units, origin, tank, limits, near(self.start, actor.today))


class HatchForm(AskForm):
    """Nauplii wanted at an hour."""

    nauplii = figure_field(
        "Nauplii wanted",
        [needed("How many? A hundred or two for each fry and day is a start.")],
        above_zero=True,
        example="50000",
        description="50000; a hundred or two for each fry a day (common practice, no source)",
    )
    temperature = temperature_field(
        "Temperature of the hatch",
        [needed("How warm is the hatching water?")],
        default=26.0,
        description="20 to 30 °C, 68 to 86 °F",
    )
    day = DateField("Ready on", [needed("On which day?")])
    hour = TimeField("At", [needed("At what hour?")])
    per_gram = figure_field(
        "Nauplii from a gram, by the tin", default=NAUPLII_PER_G, above_zero=True, example="200000"
    )
    groups = (
        Group("", ("nauplii", "temperature")),
        Group("When they are wanted", ("day", "hour")),
        Group("What the tin says", ("per_gram",), folded=True),
    )
    called: ClassVar = {"temperature_c": "temperature", "nauplii_per_g": "per_gram"}

    def usual(self, actor: Actor) -> dict[str, Any]:
        """Ready the day after tomorrow, in the evening."""
        return {"day": brine_shrimp.usual_day(actor.today), "hour": time(18, 0)}

    def answer(self, actor: Actor) -> Answer:
        """Plan the hatch."""
        ready = datetime.combine(near(self.day, actor.today), self.hour.data or time(18, 0))
        per_gram = _or(self.per_gram.data, NAUPLII_PER_G)
        return brine_shrimp.hatch(actor, self.nauplii.data, ready, self.temperature.data, per_gram)


def _or(value: float | None, otherwise: float) -> float:
    return otherwise if value is None else float(value)
