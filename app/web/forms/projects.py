"""What the project pages ask for."""

from flask import request
from wtforms import DateField, DecimalField, RadioField, SelectField, StringField, TextAreaField
from wtforms import Form as WtForm
from wtforms.validators import Optional

from app.queries.planning import WhatIf
from app.queries.project_books import TITLES
from app.queries.projects import ProjectChoices
from app.services.projects import Needs
from app.store.projects import MoneyKind
from app.web.forms.base import Form, kinds, length_field, needed, options, text, volume_field
from app.web.forms.choosing import count_field, picked, select


class ProjectForm(Form):
    """A project to be planned."""

    aim = StringField("Aim", [needed("What is the aim?")])
    line_id = select("Line", [needed("Which line?")])
    wanted = count_field("How many are wanted", [Optional()])
    wanted_females = count_field("Females of these", [Optional()])
    wanted_males = count_field("Males of these", [Optional()])
    tank_id = select("Tank")
    least_litres = volume_field("If any tank, at least", [Optional()])
    purpose = StringField("What the tank is for")
    not_before = DateField("Not before", [Optional()])
    lasts_from_days = count_field("Shortest, in days", [Optional()])
    lasts_to_days = count_field("Longest, in days", [Optional()])
    note = TextAreaField("Note")

    @property
    def needs(self) -> Needs:
        """What was typed about numbers, tank and time."""
        return Needs(
            wanted_females=self.wanted_females.data,
            wanted_males=self.wanted_males.data,
            purpose=text(self.purpose),
            least_litres=self.least_litres.data,
            not_before=self.not_before.data,
            lasts_from_days=self.lasts_from_days.data,
            lasts_to_days=self.lasts_to_days.data,
        )

    def offer(self, found: ProjectChoices) -> None:
        """Fill in the lines and tanks."""
        lines = [(str(number), name) for number, name in found.lines]
        self.line_id.choices = options([("", "Choose"), *lines])
        tanks = [(str(number), name) for number, name in found.tanks]
        self.tank_id.choices = options([("", "Any tank"), *tanks])


class ProjectEditForm(ProjectForm):
    """A project that is there; its closing note can be bettered later."""

    closing_note = TextAreaField("What to do differently")


class CloseForm(Form):
    """The end of a project."""

    closing_note = TextAreaField("What would you do differently?")


class CheckForm(Form):
    """One more line of the checklist."""

    stage = SelectField("Stage", choices=options((stage.value, title) for stage, title in TITLES.items()))
    words = StringField("What is to be done", [needed("What is to be done?")], id="check-words")


class MoneyForm(Form):
    """A cost or an income."""

    kind = RadioField("Which way", choices=kinds(MoneyKind), default=MoneyKind.COST.value)
    amount = DecimalField("Amount", [needed("How much?")])
    words = StringField("What for", [needed("What was it for?")])
    on = DateField("Day", [Optional()])


class PlanningForm(Form):
    """How the fishroom plans."""

    turn_round_days = count_field("Days to turn a tank round", [needed("How many days?")])
    money = StringField("Money")


class WhatIfForm(Form):
    """A change to try: read from the address, so nothing is changed and there is nothing to guard."""

    class Meta:
        """Nothing to guard."""

        csrf = False

    project = select("Project")
    delay = count_field("Starts later by", [Optional()])
    tank = select("Goes to the tank")
    sale = length_field("Fish leave at a length of", [Optional()])

    def __init__(self) -> None:
        """Read the address."""
        WtForm.__init__(self, formdata=request.args)

    def offer(self, projects: list[tuple[int, str]], tanks: list[tuple[int, str]]) -> None:
        """Fill in the waiting projects and the tanks."""
        self.project.choices = options([("", "No change"), *((str(n), name) for n, name in projects)])
        self.tank.choices = options([("", "As planned"), *((str(n), name) for n, name in tanks)])

    @property
    def tried(self) -> WhatIf:
        """What is to be tried."""
        return WhatIf(picked(self.project), self.delay.data or 0, picked(self.tank), self.sale.data)
