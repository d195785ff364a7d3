"""What is asked about an acclimation."""

from datetime import date

from wtforms import DateField, HiddenField, RadioField
from wtforms.validators import Optional

from app.core.quantities import show_salinity
from app.core.water.acclimation import Limits, WaterState
from app.services.acclimation import AcclimationTold
from app.web.forms.amounts import hardness_field, salinity_field
from app.web.forms.base import Form, needed, options, temperature_field
from app.web.forms.bench.fields import figure_field
from app.web.forms.choosing import chips, picked, select, ticked

BRACKISH = "5"
ASSUMED = {
    BRACKISH: "Their salt was not known: taken for 5 g/L, as in brackish farms.",
    "0": "Their salt was not known: taken for fresh water.",
}


class AcclimationForm(Form):
    """From their water to the tank's; ``looked`` holds what was looked over."""

    fish_ids = chips("Who", [needed("Choose the fish.")])
    salinity_g_per_l = salinity_field("Salt of the water they are in", [Optional()])
    assume = RadioField(
        "Where the salt is not known",
        choices=options(
            [("", "Leave it open"), (BRACKISH, "Assume 5 g/L, brackish"), ("0", "Assume fresh water")]
        ),
        default="",
        validators=[Optional()],
    )
    gh_dh = hardness_field("GH of their water", [Optional()])
    temperature_c = temperature_field("Its temperature", [Optional()])
    source_id = select("How")
    goal_salinity_g_per_l = salinity_field("Salt of the tank", [Optional()])
    goal_gh_dh = hardness_field("GH of the tank", [Optional()])
    goal_temperature_c = temperature_field("Temperature of the tank", [Optional()])
    limit_salinity_g_per_l = figure_field(
        "Salt a day, at most", [Optional()], above_zero=True, example="1.5", default=1.5
    )
    limit_gh_dh = figure_field("GH a day, at most", [Optional()], above_zero=True, example="3", default=3.0)
    limit_temperature_c = figure_field(
        "Warmth a day, at most", [Optional()], above_zero=True, example="2", default=2.0
    )
    start = DateField("First step on", [needed("From which day?")])
    looked = HiddenField()

    def offer(self, mates: tuple[tuple[int, str], ...], waters: tuple[tuple[int, str], ...]) -> None:
        """Fill in the fish and the waters."""
        self.fish_ids.choices = list(mates)
        apart = "in a box of their own, with the tank’s water"
        self.source_id.choices = options(
            [("", apart), *((str(number), f"in the tank, changed with {name}") for number, name in waters)]
        )

    @property
    def salt(self) -> float | None:
        """The salt of their water: as tested, or as assumed."""
        if self.salinity_g_per_l.data is not None:
            return float(self.salinity_g_per_l.data)
        return float(self.assume.data) if self.assume.data else None

    @property
    def assumed(self) -> str:
        """What was not tested, in words."""
        if self.salinity_g_per_l.data is not None:
            return f"Their water held {show_salinity(float(self.salinity_g_per_l.data))} of salt."
        return ASSUMED.get(self.assume.data or "", "Their salt is not known.")

    def told(self, today: date) -> AcclimationTold:
        """Return what was filled in."""
        usual = Limits()
        return AcclimationTold(
            tuple(ticked(self.fish_ids)),
            WaterState(self.salt, self.gh_dh.data, self.temperature_c.data),
            WaterState(self.goal_salinity_g_per_l.data, self.goal_gh_dh.data, self.goal_temperature_c.data),
            self.start.data or today,
            picked(self.source_id),
            Limits(
                self.limit_salinity_g_per_l.data or usual.salinity_g_per_l,
                self.limit_gh_dh.data or usual.gh_dh,
                self.limit_temperature_c.data or usual.temperature_c,
            ),
            self.assumed,
        )

    @property
    def chosen(self) -> str:
        """What was filled in, to be known again."""
        return " ".join(str(field.data) for field in self if field.name not in {"looked", "csrf_token"})
