"""What the pages about batches ask for."""

from collections.abc import Iterable
from typing import Any

from wtforms import DateField, Field, RadioField, StringField, TextAreaField
from wtforms.validators import InputRequired, Optional
from wtforms.widgets import TextArea

from app.core.problems import Problem
from app.core.quantities import Units
from app.core.quantities.lists import parse_lengths
from app.queries.sections import Place
from app.store.batches import BatchSex, LengthKind, LossCause
from app.store.fish import Sex
from app.web.forms.amounts import age_field
from app.web.forms.base import Form, kinds, length_field, needed, options
from app.web.forms.choosing import count_field, select
from app.web.signin import actor

HERE = [("", "Where they are now")]


def day(label: str = "Day") -> DateField:
    """Return a field for a day that has come."""
    return DateField(label, [needed("On which day?")])


def offered(places: Iterable[Place], *first: tuple[str, str]) -> list[Any]:
    """Return places as choices, after ``first``."""
    return options([*first, *((str(place.section_id), place.words) for place in places)])


class LengthsField(Field):
    """Many lengths, typed or pasted, that become millimetres; what was typed is kept."""

    widget: Any = TextArea()

    def __init__(self, label: str, **more: Any) -> None:  # noqa: ANN401 - WTForms' own looseness
        """Say how to type them, in the keeper's units."""
        bare = "mm" if actor().units is Units.METRIC else "inches"
        words = (
            "Type 12.5 13 12.8, or paste a column of a spreadsheet. Bare numbers are "
            f"{bare}; 1.2 cm or 1/2 in are read too."
        )
        super().__init__(label, description=words, **more)

    def _value(self) -> str:
        return str(self.raw_data[0]) if self.raw_data else ""

    def process_formdata(self, valuelist: list[str]) -> None:
        """Read what was typed in the keeper's units."""
        self.data: tuple[float, ...] = ()
        text = valuelist[0].strip() if valuelist else ""
        if not text:
            return
        try:
            self.data = parse_lengths(text, actor().units)
        except Problem as problem:
            raise ValueError(f"{problem.message[0].upper()}{problem.message[1:]}") from problem


class CountForm(Form):
    """A count, by sex where it was told."""

    alive = count_field("Alive", [InputRequired("How many are alive? 0 if none are.")])
    females = count_field("Females", [Optional()])
    males = count_field("Males", [Optional()])
    on = day()


class LossForm(Form):
    """Fish that died or went missing."""

    number = count_field("How many", [InputRequired("How many were lost?")])
    cause = RadioField(
        "What became of them",
        [needed("What became of them?")],
        choices=kinds(LossCause),
        default=LossCause.UNKNOWN,
    )
    on = day()
    note = TextAreaField("Note")


class LengthsForm(Form):
    """A length check."""

    lengths = LengthsField("Lengths, one fish after another", render_kw={"rows": 4, "inputmode": "text"})
    kind = RadioField(
        "What was measured",
        [needed("With the tail fin or without?")],
        choices=options(
            (
                (LengthKind.TOTAL.value, "Total length, tail fin and all"),
                (LengthKind.STANDARD.value, "Standard length, without the tail fin"),
            )
        ),
        default=LengthKind.TOTAL,
    )
    on = day()
    n = count_field("Fish measured", [Optional()])
    mean_mm = length_field("Their mean", [Optional()])
    sd_mm = length_field("Standard deviation", [Optional()])


class SplitForm(Form):
    """Some fish into a batch of their own."""

    number = count_field("How many go", [InputRequired("How many go into the new batch?")])
    sex = RadioField(
        "What they are", [needed("What are they?")], choices=kinds(BatchSex), default=BatchSex.MIXED
    )
    section_id = select("Where they go")
    code = StringField("Code of the new batch")
    on = day()


class SortForm(Form):
    """Females and males apart."""

    females = count_field("Females found", [Optional()])
    females_section_id = select("Females go to")
    males = count_field("Males found", [Optional()])
    males_section_id = select("Males go to")
    on = day()


class KeepForm(Form):
    """One fry for the broodstock."""

    sex = RadioField("Sex", [InputRequired("Female or male?")], choices=kinds(Sex))
    section_id = select("Where it goes")
    code = StringField("Code")
    name = StringField("Name")
    on = day()
    note = TextAreaField("Note")


class MoveForm(Form):
    """The whole batch to another place."""

    section_id = select("To", [needed("Where to? Choose a tank or section.")])
    on = day()


class JuvenilesForm(Form):
    """Juveniles that were bought or traded, not sexed yet."""

    line_id = select("Line", [needed("Which line are they?")])
    code = StringField("Code", [needed("Give the batch a code, like B12.")])
    number = count_field("How many", [InputRequired("How many came?")])
    age = age_field("About how old", [needed("About how old? Write 8 weeks or 2 months.")])
    give_or_take = age_field("Give or take", [Optional()])
    section_id = select("Where they stand", [needed("Where do they stand? Choose a tank or section.")])
    on = day("Came on")
    source = StringField("From where")
    note = TextAreaField("Note")
