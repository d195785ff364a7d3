"""What the broodstock pages ask for."""

from datetime import date, timedelta
from typing import Any

from wtforms import BooleanField, DateField, Field, RadioField, SelectField, StringField, TextAreaField
from wtforms.validators import InputRequired, Optional, ValidationError

from app.queries.fish_forms import Arriving, FishAsked
from app.services.fish import QUARANTINE_DAYS, Arrival
from app.services.fish_checks import Water
from app.services.fish_edits import FishTold
from app.services.lines import NewLine
from app.store.fish import Departure, Origin, Precision, Sex, WithMales
from app.web.forms.amounts import age_field, hardness_field, ph_field, salinity_field, unrounded
from app.web.forms.base import Form, kinds, length_field, needed, options, temperature_field, text
from app.web.forms.choosing import count_field, counted, picked, select
from app.web.forms.lines import species_choices


class FishFields(Form):
    """What is known of a fish, new or not."""

    sex = RadioField("Sex", [needed("Which sex? “Unknown” will do.")], choices=kinds(Sex))
    name = StringField("Name")
    born_on = DateField("Born on", [Optional()])
    born_precision = RadioField(
        "How sure of the birth date", choices=kinds(Precision), default=Precision.GUESS
    )
    length_mm = length_field("Length", [Optional()])
    source = StringField("From whom or where")
    arrived_on = DateField("Came on", [needed("On which day did it come?")])
    with_males = RadioField("With males before it came", choices=kinds(WithMales), default=WithMales.UNKNOWN)
    salinity_g_per_l = salinity_field("Salt", [Optional()])
    gh_dh = hardness_field("GH", [Optional()])
    ph = ph_field("pH", [Optional()])
    temperature_c = temperature_field("Temperature", [Optional()])
    note = TextAreaField("Note")


class ArrivalForm(FishFields):
    """Fish of one kind that came together."""

    line_id = select("Line")
    new_line = StringField("Name of the new line")
    new_species = SelectField("Its species", choices=species_choices("Choose"), validate_choice=False)
    number = count_field("How many of this kind", [InputRequired("How many?")], default=1)
    codes = StringField("Codes")
    age = age_field("Age when it came", [Optional()])
    origin = RadioField("How it came", choices=kinds(Origin)[1:], default=Origin.BOUGHT)
    section_id = select("Where it stands", [needed("Where does it stand? Choose a tank or section.")])
    quarantine_days = count_field("Days of quarantine", [Optional()], default=QUARANTINE_DAYS)
    acclimate = BooleanField("Plan next how they are led over to the tank’s water")
    more = BooleanField("Add more from the same source next")

    def offer(self, page: Arriving) -> None:
        """Fill in the lines and places."""
        self.line_id.choices = options([("", "Choose"), *_texts(page.lines)])
        self.line_id.flags.required = not text(self.new_line)
        places = [(str(place.section_id), place.words) for place in page.places]
        self.section_id.choices = options([("", "Choose"), *places])

    def validate_age(self, field: Field) -> None:
        """Take a birth date or an age, not both."""
        if field.data is not None and self.born_on.data is not None:
            raise ValidationError("Give the birth date or the age, not both.")

    def validate_new_line(self, field: Field) -> None:
        """Take a line or a new one, not both."""
        if text(field) and picked(self.line_id) is not None:
            raise ValidationError("Choose a line, or begin a new one, not both.")

    def given(self, today: date) -> Arrival:
        """Return what was filled in."""
        came = self.arrived_on.data or today
        return Arrival(
            sex=Sex(self.sex.data),
            arrived_on=came,
            section_id=picked(self.section_id) or 0,
            line_id=picked(self.line_id),
            new_line=self._new_line(),
            number=counted(self.number),
            codes=text(self.codes),
            name=text(self.name),
            origin=Origin(self.origin.data),
            source=text(self.source),
            born_on=self._born(came),
            born_precision=Precision(self.born_precision.data),
            length_mm=self.length_mm.data,
            with_males=WithMales(self.with_males.data),
            water=water(self),
            quarantine_days=counted(self.quarantine_days),
            note=text(self.note),
        )

    def _born(self, came: date) -> date | None:
        if self.age.data is None:
            born: date | None = self.born_on.data
            return born
        return came - timedelta(days=int(self.age.data))

    def _new_line(self) -> NewLine | None:
        name, species = text(self.new_line), text(self.new_species)
        return NewLine(name, species) if name or (species and picked(self.line_id) is None) else None


class FishForm(FishFields):
    """An existing fish."""

    code = StringField("Code", [needed("Give the fish a code, like A1.")])
    line_id = select("Line", [needed("Choose the line.")])
    quarantine_until = DateField("Quarantine until", [Optional()])
    dam_id = select("Dam")
    sire_id = select("Sire")

    def offer(self, page: FishAsked) -> None:
        """Fill in the lines and the possible parents."""
        self.line_id.choices = options(_texts(page.lines))
        self.dam_id.choices = options([("", "Not known"), *_texts(page.dams)])
        self.sire_id.choices = options([("", "Not known"), *_texts(page.sires)])

    def given(self, was: FishAsked) -> FishTold:
        """Return what was filled in."""
        return FishTold(
            code=text(self.code),
            name=text(self.name),
            sex=Sex(self.sex.data),
            line_id=picked(self.line_id) or 0,
            born_on=self.born_on.data,
            born_precision=Precision(self.born_precision.data),
            arrived_on=self.arrived_on.data or was.arrived_on,
            source=text(self.source),
            with_males=WithMales(self.with_males.data),
            length_mm=unrounded(self.length_mm, was.length_mm),
            water=water(self, was),
            quarantine_until=self.quarantine_until.data,
            dam_id=picked(self.dam_id),
            sire_id=picked(self.sire_id),
            note=text(self.note),
        )


def water(form: FishFields, was: FishAsked | None = None) -> Water:
    """Return the water that was filled in."""
    if was is None:
        return Water(form.salinity_g_per_l.data, form.gh_dh.data, form.ph.data, form.temperature_c.data)
    return Water(
        unrounded(form.salinity_g_per_l, was.salinity_g_per_l),
        unrounded(form.gh_dh, was.gh_dh),
        unrounded(form.ph, was.ph),
        unrounded(form.temperature_c, was.temperature_c),
    )


def _texts(pairs: Any) -> list[tuple[str, str]]:  # noqa: ANN401 - numbers and words
    return [(str(number), words) for number, words in pairs]


class MoveForm(Form):
    """Where a fish goes."""

    section_id = select("Where to", [needed("Where to? Choose a tank or section.")])
    on = DateField("Moved on", [needed("On which day?")])

    def offer(self, page: FishAsked) -> None:
        """Fill in the places."""
        places = [(str(place.section_id), place.words) for place in page.places]
        self.section_id.choices = options([("", "Choose"), *places])


class LeftForm(Form):
    """A fish that died or was lost."""

    departure = RadioField(
        "What happened",
        [needed("Did it die, or was it lost?")],
        choices=options(
            [(Departure.DIED.value, "Died"), (Departure.LOST.value, "Lost: jumped, eaten or not found")]
        ),
    )
    on = DateField("On", [needed("On which day?")])
    note = TextAreaField("Note")
