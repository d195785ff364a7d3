"""What is asked about a tank's water: a change, a top-up, a dose, a test."""

from datetime import datetime
from typing import Any

from flask import request
from wtforms import DateField, Field, RadioField, SelectField, StringField, TimeField
from wtforms.validators import Optional

from app.core.problems import Problem
from app.core.quantities import parse_hardness, parse_salinity, parse_share, parse_volume
from app.core.quantities.dosing import parse_amount, parse_per_litre
from app.core.quantities.figures import split
from app.core.quantities.showing import trimmed
from app.core.water.ledger import Held
from app.core.water.units import NH3_PER_N, NH4_PER_N, NO2_PER_N, NO3_PER_N
from app.queries.water_forms import ChangePage, DosePage
from app.services.moments import moment
from app.services.water_changes import Pour
from app.services.water_tests import FIELDS
from app.store.actor import Actor
from app.store.readings import Quantity
from app.web.forms.amounts import hardness_field, ph_field
from app.web.forms.base import Form, needed, options, temperature_field, text
from app.web.forms.bench.fields import mg_field

UNTOLD = "0"
"""The choice of a water that is not on the list."""
TYPED = {"autocomplete": "off"}


class WhenForm(Form):
    """Anything done at a moment: now, unless a day is given."""

    on = DateField("Day", [Optional()])
    at = TimeField("Time", [Optional()])
    note = StringField("Note")

    def moment(self, actor: Actor) -> datetime:
        """Return when it was done."""
        return moment(actor, self.on.data or actor.today, self.at.data)

    @property
    def late(self) -> bool:
        """Whether the day must be seen."""
        return bool(self.on.data or self.at.data or self.on.errors or self.at.errors)


OTHERS = ("second", "third", "fourth")
"""The waters of a blend beside the first (:data:`app.services.water_changes.MOST_WATERS`)."""
ENOUGH = 1e-6


def _other(label: str) -> SelectField:
    return SelectField(label, [Optional()], coerce=str, default="")


def _share() -> StringField:
    return StringField("Its share", render_kw=TYPED)


class PourForm(WhenForm):
    """Water that is poured: how much, and which."""

    volume = StringField("How much", [needed("How much was it? Write 30 % or 10 L.")], render_kw=TYPED)
    source_id = RadioField("With", [Optional()], coerce=str, default=UNTOLD)
    second_id = _other("Second water")
    second_share = _share()
    third_id = _other("Third water")
    third_share = _share()
    fourth_id = _other("Fourth water")
    fourth_share = _share()

    def offer(self, page: ChangePage) -> None:
        """Offer the fishroom's waters."""
        named = [(str(number), name) for number, name in page.waters]
        self.source_id.choices = options([*named, (UNTOLD, "another, not told")])
        self.source_id.flags.required = True
        for water, _ in self.others:
            water.choices = options([("", "no other"), *named])

    @property
    def others(self) -> list[tuple[SelectField, StringField]]:
        """The fields of the waters that are blended with the first: which, and its share."""
        return [
            (self.second_id, self.second_share),
            (self.third_id, self.third_share),
            (self.fourth_id, self.fourth_share),
        ]

    @property
    def blended(self) -> bool:
        """Whether more than one water must be seen."""
        return any(water.data or water.errors or share.errors for water, share in self.others)

    def pours(self) -> list[Pour]:
        """Return the waters in their parts; what is left by the shares that were told is shared alike."""
        for water, share in self.others:
            if text(share) and not water.data:
                raise Problem("Which water is that a share of? Choose it, or empty the share.", water.name)
        others = [(water, share) for water, share in self.others if water.data]
        if self.source_id.data == UNTOLD:
            if others:
                raise Problem("Say which the first water is, or choose no other beside it.", "source_id")
            return []
        told = [(int(water.data), _percent(share)) for water, share in others]
        left = 1.0 - sum(share for _, share in told if share is not None)
        if not left > ENOUGH:
            raise Problem(
                "These shares leave nothing of the first water; together they are less than 100 %",
                next(share.name for _, share in reversed(others) if text(share)),
            )
        alike = left / (1 + sum(1 for _, share in told if share is None))
        parts = [Pour(number, alike if share is None else share) for number, share in told]
        return [Pour(int(self.source_id.data), alike), *parts]


def _percent(field: Field) -> float | None:
    """Return a share of the blend; None where none was typed."""
    typed = text(field)
    if not typed:
        return None
    number, words = split(typed, field.name, "50 %")
    if not words and number < 1:
        raise Problem(f"{typed} of what? Write {trimmed(100 * number, 2)} %", field.name)
    if words not in {"", "%", "percent"} or not 0 < number < 100:
        raise Problem(f"{typed!r} is no share of the blend; write a per cent such as 50 %", field.name)
    return number / 100.0


class ChangeForm(PourForm):
    """A water change."""

    def litres(self, page: ChangePage, actor: Actor) -> float:
        """Return litres from a share or a volume; what a bare figure means has to be said."""
        typed = text(self.volume)
        number, words = split(typed, "volume", "30 % or 10 L")
        if not words:
            raise Problem(f"{typed} of what? Write {number:g} % or {number:g} L", "volume")
        if words in {"%", "percent"}:
            return parse_share(typed, page.litres, actor.units, "volume") * page.litres
        return parse_volume(typed, actor.units, "volume")


class TopUpForm(PourForm):
    """Water for what evaporated."""

    def litres(self, actor: Actor) -> float:
        """Return litres."""
        return parse_volume(text(self.volume), actor.units, "volume")


class DoseForm(WhenForm):
    """An amount, or a level that it shall reach."""

    amount = StringField("Amount", render_kw=TYPED)
    level = StringField("Up to a level", render_kw=TYPED)

    @property
    def reckons(self) -> bool:
        """Whether only the amount is asked for, and nothing is logged yet."""
        return "reckon" in request.form

    def grams(self, page: DosePage, actor: Actor) -> float | None:
        """Return the amount in the substance's measure, where one is given."""
        typed = text(self.amount)
        if not typed:
            return None
        return parse_amount(typed, page.measure, actor.units, of_salt=page.of_salt)

    def wanted(self, page: DosePage, actor: Actor) -> float | None:
        """Return the level, where one is given."""
        typed = text(self.level)
        if not typed:
            return None
        match page.key:
            case Held.SALT:
                return parse_salinity(typed, field="level")
            case Held.GH | Held.KH:
                return parse_hardness(typed, actor.units, "level")
            case _:
                return parse_per_litre(typed, page.measure, actor.units)


KITS = {
    "ammonia_kit": (
        ("N", "nitrogen (NH₃-N, TAN)", 1.0),
        ("NH3", "ammonia (NH₃)", NH3_PER_N),
        ("NH4", "ammonium (NH₄)", NH4_PER_N),
    ),
    "nitrite_kit": (("NO2", "nitrite (NO₂)", 1.0), ("N", "nitrogen (NO₂-N)", 1 / NO2_PER_N)),
    "nitrate_kit": (("NO3", "nitrate (NO₃)", 1.0), ("N", "nitrogen (NO₃-N)", 1 / NO3_PER_N)),
}
"""As what each kit counts, and how many of that make one of what is kept."""


def _kit(name: str, label: str) -> SelectField:
    choices = [(key, words) for key, words, _ in KITS[name]]
    return SelectField(label, choices=options(choices), default=choices[0][0])


class WaterTestForm(WhenForm):
    """Several values at once; what is left empty was not read."""

    ph = ph_field("pH", [Optional()])
    gh_dh = hardness_field("GH", [Optional()])
    kh_dh = hardness_field("KH", [Optional()])
    ammonia = mg_field("Total ammonia", [Optional()])
    nitrite = mg_field("Nitrite", [Optional()])
    nitrate = mg_field("Nitrate", [Optional()])
    salinity = StringField("Salinity", render_kw=TYPED)
    temperature_c = temperature_field("Temperature", [Optional()])
    reference_c = temperature_field("The hydrometer's reference", [Optional()])
    ammonia_kit = _kit("ammonia_kit", "The kit counts ammonia as")
    nitrite_kit = _kit("nitrite_kit", "The kit counts nitrite as")
    nitrate_kit = _kit("nitrate_kit", "The kit counts nitrate as")

    def values(self) -> dict[Quantity, float]:
        """Return what was read, in the units kept."""
        read = {quantity: self._value(quantity, name) for quantity, name in FIELDS.items()}
        return {quantity: value for quantity, value in read.items() if value is not None}

    def _value(self, quantity: Quantity, name: str) -> float | None:
        if quantity is Quantity.SALINITY:
            return self._salinity()
        data = self[name].data
        return None if data is None else float(data) / self._per_kept(name)

    def _per_kept(self, name: str) -> float:
        kit = f"{name}_kit"
        return next((each for key, _, each in KITS.get(kit, ()) if key == self[kit].data), 1.0)

    def _salinity(self) -> float | None:
        typed = text(self.salinity)
        if not typed:
            return None
        more: dict[str, Any] = {"water_c": self.temperature_c.data}
        if self.reference_c.data is not None:
            more["reference_c"] = self.reference_c.data
        return parse_salinity(typed, **more)
