"""What the first steps ask for: as little as a first birth window needs."""

from datetime import date, timedelta

from wtforms import DateField, RadioField, SelectField, StringField
from wtforms.validators import Optional

from app.queries.first_steps import Together
from app.queries.sections import Place
from app.queries.settings import UNIT_WORDS
from app.services.first_fish import FirstFish
from app.store.fish import WithMales
from app.web.forms.amounts import age_field
from app.web.forms.base import Form, kinds, needed, options, text, volume_field
from app.web.forms.choosing import chips, count_field, counted, picked, select
from app.web.forms.lines import species_choices
from app.web.forms.settings import zones_by_continent


class MeasuresForm(Form):
    """Units and time zone."""

    units = RadioField(
        "Units",
        [needed("Which units?")],
        choices=options((unit.value, words) for unit, words in UNIT_WORDS.items()),
    )
    time_zone = SelectField(
        "Time zone",
        [needed("Which time zone?")],
        choices=zones_by_continent,
        validate_choice=False,
        render_kw={"data-zone-guess": ""},
    )


class FirstTankForm(Form):
    """One tank."""

    name = StringField("Name or number", [needed("Give the tank a name or number, as written on it.")])
    litres = volume_field("Volume", [needed("How much water does it hold? Write 54 L or 10 gal.")])


class FirstFishForm(Form):
    """One line with its dams and sires."""

    species = SelectField(
        "Species", [needed("Choose the species.")], choices=species_choices("Choose"), validate_choice=False
    )
    line = StringField("What you call the line")
    females = count_field("Grown females", [Optional()])
    males = count_field("Grown males", [Optional()])
    age = age_field("How old, about", [Optional()])
    with_males = RadioField(
        "Were the females with males before today?", choices=kinds(WithMales), default=WithMales.UNKNOWN
    )
    section_id = select("Where they stand", [needed("Where do they stand?")])

    def offer(self, places: tuple[Place, ...]) -> None:
        """Fill in the places."""
        self.section_id.choices = options((str(place.section_id), place.words) for place in places)

    def given(self, today: date) -> FirstFish:
        """Return what was filled in."""
        return FirstFish(
            species=text(self.species),
            line=text(self.line),
            section_id=picked(self.section_id) or 0,
            females=counted(self.females),
            males=counted(self.males),
            born_on=None if self.age.data is None else today - timedelta(days=int(self.age.data)),
            with_males=WithMales(self.with_males.data),
        )


class FirstPairingForm(Form):
    """Who is together, since when."""

    dam_ids = chips("Dams")
    sire_ids = chips("Sires")
    started_on = DateField("Together since", [needed("Since which day are they together?")])

    def offer(self, found: Together) -> None:
        """Fill in the fish."""
        self.dam_ids.choices, self.sire_ids.choices = list(found.dams), list(found.sires)
