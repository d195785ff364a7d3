"""What the project pages ask for."""

from wtforms import StringField, TextAreaField
from wtforms.validators import Optional

from app.queries.projects import ProjectChoices
from app.web.forms.base import Form, needed, options
from app.web.forms.choosing import count_field, select


class ProjectForm(Form):
    """A project to be planned."""

    aim = StringField("Aim", [needed("What is the aim?")])
    line_id = select("Line", [needed("Which line?")])
    wanted = count_field("How many are wanted", [Optional()])
    tank_id = select("Tank")
    note = TextAreaField("Note")

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
