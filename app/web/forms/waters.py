"""What is asked about a source water and a substance."""

from typing import Any

from wtforms import StringField, TextAreaField
from wtforms.validators import Optional

from app.core.problems import Problem
from app.core.quantities.dosing import parse_amount, parse_per_litre
from app.core.quantities.showing import trimmed
from app.services.substances import NewSubstance
from app.services.waters import NewWater
from app.store.actor import Actor
from app.store.waters import Hazard, Measure, SourceWater, Substance, SubstanceKind
from app.web.forms.amounts import days_field, hardness_field, ph_field, salinity_field, unrounded
from app.web.forms.base import (
    AmountField,
    Form,
    needed,
    temperature_field,
    text,
    volume_field,
)
from app.web.forms.bench.fields import choice_field, mg_field

LABEL_LITRES = 100.0
"""The water in which a label's figure is shown again."""


class WaterForm(Form):
    """A source water; what is left empty was never measured."""

    name = StringField("Name", [needed("Give the water a name, as you call it.")])
    salinity_g_per_l = salinity_field("Salt", [Optional()])
    gh_dh = hardness_field("GH", [Optional()])
    kh_dh = hardness_field("KH", [Optional()])
    ph = ph_field("pH", [Optional()])
    nitrate_mg_per_l = mg_field("Nitrate", [Optional()])
    temperature_c = temperature_field("Temperature", [Optional()])
    note = TextAreaField("Note")

    def given(self, was: SourceWater | None = None) -> NewWater:
        """Return the water; figures left as they were shown keep all their digits."""
        figures: dict[str, Any] = {
            name: unrounded(field, getattr(was, name, None))
            for name, field in self._fields.items()
            if isinstance(field, AmountField)
        }
        return NewWater(name=text(self.name), note=text(self.note), **figures)


class SubstanceForm(Form):
    """A substance: a pure salt by its formula, or a product by its label."""

    name = StringField("Name", [needed("Give the substance a name, as you call it.")])
    kind = choice_field("What it is", ((one.value, one.value.capitalize()) for one in SubstanceKind))
    measure = choice_field("Measured in", (("g", "g"), ("mL", "mL"), ("piece", "pieces")))
    hazard = choice_field("Chemical", ((one.value, one.value.capitalize()) for one in Hazard))
    formula = StringField("Formula", [Optional()])
    label_dose = StringField("Dose on the label", [Optional()])
    label_amount = StringField("So much", [Optional()])
    label_litres = volume_field("in so much water", [Optional()])
    label_gh = hardness_field("raises GH by", [Optional()])
    label_kh = hardness_field("and KH by", [Optional()])
    half_life = days_field("Half is gone in", [Optional()])
    note = TextAreaField("Note")

    def given(self, actor: Actor, was: Substance | None = None) -> NewSubstance:
        """Return the substance; figures left as they were shown keep all their digits."""
        measure = Measure(self.measure.data)
        shown = begun(was) if was is not None else {}
        gh, kh = self._per_unit(measure, actor, shown)
        dose = text(self.label_dose)
        return NewSubstance(
            name=text(self.name),
            kind=SubstanceKind(self.kind.data),
            measure=measure,
            hazard=Hazard(self.hazard.data),
            formula=text(self.formula),
            gh_dh_per_unit_l=gh,
            kh_dh_per_unit_l=kh,
            label_dose_per_l=parse_per_litre(dose, measure, actor.units, "label_dose") if dose else None,
            half_life_days=unrounded(self.half_life, shown.get("half_life")),
            note=text(self.note),
        )

    def _per_unit(
        self, measure: Measure, actor: Actor, shown: dict[str, Any]
    ) -> tuple[float | None, float | None]:
        """Return what one unit does to one litre, from the label's own sentence."""
        gh = unrounded(self.label_gh, shown.get("label_gh"))
        kh = unrounded(self.label_kh, shown.get("label_kh"))
        if gh is None and kh is None:
            return None, None
        typed, litres = text(self.label_amount), self.label_litres.data
        if not typed:
            raise Problem(
                "How much of it does that? Write what the label says, such as 10 g.", "label_amount"
            )
        if litres is None:
            raise Problem("In how much water? Write the label's figure: 100 L.", "label_litres")
        per = litres / parse_amount(typed, measure, actor.units, "label_amount")
        return None if gh is None else gh * per, None if kh is None else kh * per


def begun(substance: Substance) -> dict[str, Any]:
    """Return what the form of a known substance begins with."""
    told = substance.gh_dh_per_unit_l is not None or substance.kh_dh_per_unit_l is not None
    unit = "" if substance.measure is Measure.PIECE else f" {substance.measure.value}"
    each = 1.0 if substance.measure is Measure.PIECE else 10.0
    found: dict[str, Any] = {
        "name": substance.name,
        "kind": substance.kind.value,
        "measure": substance.measure.value,
        "hazard": substance.hazard.value,
        "formula": substance.formula,
        "half_life": substance.half_life_days,
        "note": substance.note,
    }
    if substance.label_dose_per_l is not None:
        found["label_dose"] = f"{substance.label_dose_per_l * LABEL_LITRES:.6g}{unit} per {LABEL_LITRES:g} L"
    if told:
        found |= {"label_amount": f"{trimmed(each, 0)}{unit}", "label_litres": LABEL_LITRES}
        for name, rise in (
            ("label_gh", substance.gh_dh_per_unit_l),
            ("label_kh", substance.kh_dh_per_unit_l),
        ):
            found[name] = None if rise is None else rise * each / LABEL_LITRES
    return found
