"""What the calculators of changes and hardness ask for."""

from collections.abc import Iterable
from typing import ClassVar

from wtforms import Field, StringField

from app.core.problems import Problem
from app.core.quantities import Units
from app.core.quantities.figures import split
from app.core.water.hardness import Label, Rise
from app.queries.bench import changes, hardness
from app.queries.bench.answers import Answer
from app.queries.bench.hardness import Recipe, Tap
from app.store.actor import Actor
from app.web.forms.amounts import hardness_field
from app.web.forms.base import needed, text, volume_field
from app.web.forms.bench.ask import AskForm, Group
from app.web.forms.bench.fields import choice_field, figure_field, mass_field, part, percent_field
from app.web.forms.choosing import count_field

LITRES = "How much water? Write 20 L or 5 gal."


def _named(salts: Iterable[tuple[str, str]]) -> list[tuple[str, str]]:
    return [(formula, f"{name}, {formula}") for formula, name in salts]


class ChangesForm(AskForm):
    """A series of equal changes."""

    change = StringField(
        "Changed each time",
        [needed("How much each time? Write 50 %.")],
        description="50 %, or 5 gal if the tank is given",
    )
    times = count_field("Number of changes")
    target = figure_field("or down to", example="1", units={"": 1.0, "%": 1.0})
    water = volume_field("Water in the tank")
    start = figure_field("What there is now", default=100.0, units={"": 1.0, "%": 1.0})
    source = figure_field("What the new water holds", default=0.0, units={"": 1.0, "%": 1.0})

    groups = (
        Group("", ("change",)),
        Group(
            "Give one of the two", ("times", "target"), hint="7 changes, or down to 1 % of what was there."
        ),
        Group(
            "Another start, tank or new water",
            ("start", "source", "water"),
            folded=True,
            hint="Any one unit throughout: g/L, °dH, mg/L. 100 and 0 mean per cent of what was there.",
        ),
    )
    called: ClassVar = {"fraction": "change"}

    def answer(self, actor: Actor) -> Answer:
        """Reckon what is left, or how many are needed."""
        start = 100.0 if self.start.data is None else self.start.data
        source = _level(self.source, start) or 0.0
        given = changes.Series(start, source, self._share(actor.units))
        return changes.series(given, self.times.data, _level(self.target, start))

    def _share(self, units: Units) -> float:
        _, words = split(text(self.change), "change", "50 %")
        if words not in {"", "%", "percent"} and self.water.data is None:
            raise Problem(
                "a volume needs the tank's water too; give it, or write a share such as 50 %", "change"
            )
        return part(self.change, self.water.data or 1.0, units)


def _level(field: Field, start: float) -> float | None:
    """Return a level; one typed in per cent is of what there is now."""
    if field.data is None:
        return None
    per_cent = "%" in str((field.raw_data or [""])[0])
    return float(field.data) * (start / 100.0 if per_cent else 1.0)


class BlendForm(AskForm):
    """Two waters and one wish."""

    water = volume_field("Water to make", [needed(LITRES)], description="40 L, 10 gal")
    first_gh = hardness_field("GH of the first")
    first_kh = hardness_field("KH of the first")
    second_gh = hardness_field("GH of the second")
    second_kh = hardness_field("KH of the second")
    gh = hardness_field("GH wanted")
    kh = hardness_field("or KH wanted")

    groups = (
        Group("", ("water",)),
        Group("First water, such as the tap's", ("first_gh", "first_kh"), hint="8 dH or 140 ppm"),
        Group(
            "Second water, such as rain or reverse osmosis",
            ("second_gh", "second_kh"),
            hint="0 where it holds none",
        ),
        Group("Give one of the two", ("gh", "kh")),
    )

    def answer(self, actor: Actor) -> Answer:
        """Reckon the two parts."""
        first = Tap(self.first_gh.data, self.first_kh.data)
        second = Tap(self.second_gh.data, self.second_kh.data)
        return hardness.mix(actor.units, self.water.data, first, second, gh=self.gh.data, kh=self.kh.data)


class MineralsForm(AskForm):
    """Soft water, and the hardness it should have."""

    water = volume_field("Water", [needed(LITRES)], description="20 L, 5 gal")
    now_gh = hardness_field("GH now")
    now_kh = hardness_field("KH now")
    wish_gh = hardness_field("GH wanted")
    wish_kh = hardness_field("KH wanted")
    calcium = choice_field("For calcium", _named(hardness.CALCIUM))
    magnesium = choice_field("For magnesium", _named(hardness.MAGNESIUM))
    carbonate = choice_field("For KH", _named(hardness.CARBONATE))
    calcium_share = percent_field(
        "Calcium's part of GH",
        default=hardness.CALCIUM_SHARE,
        description="75 % is usual (common practice, no source)",
    )

    groups = (
        Group("", ("water",)),
        Group("It has", ("now_gh", "now_kh"), hint="Empty: none. 8 dH or 140 ppm"),
        Group("It should have", ("wish_gh", "wish_kh"), hint="Empty: as it is."),
        Group("Which salts", ("calcium", "magnesium", "carbonate", "calcium_share"), folded=True),
    )
    called: ClassVar = {"litres": "water"}

    def answer(self, actor: Actor) -> Answer:
        """Reckon the recipe."""
        now = Rise(self.now_gh.data or 0.0, self.now_kh.data or 0.0)
        if self.wish_gh.data is None and self.wish_kh.data is None:
            raise Problem("which hardness is wanted? Give GH, KH or both", "wish_gh")
        wish = Rise(_or(self.wish_gh.data, now.gh_dh), _or(self.wish_kh.data, now.kh_dh))
        share = _or(self.calcium_share.data, hardness.CALCIUM_SHARE)
        recipe = Recipe(self.calcium.data, self.magnesium.data, self.carbonate.data, share)
        return hardness.remineralise(actor.units, self.water.data, now, wish, recipe)


class LabelForm(AskForm):
    """A product's own figure, and the rise that is wanted."""

    water = volume_field("Water", [needed(LITRES)], description="20 L, 5 gal")
    rise = hardness_field("GH should rise by", [needed("By how much should GH rise? Write 6 dH.")])
    label_mass = mass_field(
        "So much of it", [needed("How much, by the label? Write 10 g.")], description="10 g"
    )
    label_water = volume_field(
        "in so much water", [needed("In how much water, by the label?")], description="40 L"
    )
    label_gh = hardness_field("raises GH by", [needed("By how much, by the label?")])
    label_kh = hardness_field("and KH by")

    groups = (
        Group("", ("water", "rise")),
        Group("The label says", ("label_mass", "label_water", "label_gh", "label_kh")),
    )
    called: ClassVar = {"litres": "water", "label_grams": "label_mass", "label_litres": "label_water"}

    def answer(self, actor: Actor) -> Answer:
        """Reckon the product."""
        label = Label(
            self.label_mass.data, self.label_water.data, self.label_gh.data, self.label_kh.data or 0.0
        )
        return hardness.by_label(actor.units, self.water.data, label, self.rise.data)


def _or(value: float | None, otherwise: float) -> float:
    return otherwise if value is None else float(value)
