"""Choosing a place or fish by its number, and counts as people type them."""

from typing import Any

from wtforms import Field, IntegerField, SelectField, SelectMultipleField
from wtforms.widgets import CheckboxInput, ListWidget, TextInput

from app.store.session import LARGEST_ID


def number(value: Any) -> int | None:  # noqa: ANN401 - a form's text, or a row's number
    """Return a row's number; nothing for the empty choice."""
    return int(value) if value not in (None, "", "None") else None


def row(text: str) -> int:
    """Return a row's number from an address; refuse what no database holds."""
    found = int(text)
    if not 0 < found <= LARGEST_ID:
        raise ValueError(f"{text[:20]} is no row's number")
    return found


def picked(field: Field) -> int | None:
    """Return the number of what was chosen in a select field."""
    return number(field.data)


def ticked(field: Field) -> list[int]:
    """Return the numbers of what was ticked."""
    return [int(value) for value in field.data or ()]


def counted(field: Field) -> int:
    """Return a count; nothing typed is none."""
    return int(field.data or 0)


def select(label: str, validators: Any = None, **more: Any) -> SelectField:  # noqa: ANN401
    """Return a select field of rows; what is not on the list is the act's to refuse."""
    return SelectField(label, validators, coerce=number, validate_choice=False, choices=[], **more)


def chips(label: str, validators: Any = None) -> SelectMultipleField:  # noqa: ANN401
    """Return tick boxes of rows, shown as big chips."""
    return SelectMultipleField(
        label,
        validators,
        coerce=int,
        validate_choice=False,
        choices=[],
        option_widget=CheckboxInput(),
        widget=ListWidget(prefix_label=False),
    )


class CountField(IntegerField):
    """A count in a plain field that brings up the number pad."""

    widget = TextInput()

    def process_formdata(self, valuelist: list[str]) -> None:
        """Read a whole number; say how one looks where it is none."""
        typed = valuelist[0].strip() if valuelist else ""
        if not typed:
            self.data = None if valuelist else self.data
            return
        try:
            self.data = int(typed)
        except ValueError as error:
            self.data = None
            raise ValueError(f"“{typed}” is not a whole number; write it like 24.") from error


def count_field(label: str, validators: Any = None, **more: Any) -> CountField:  # noqa: ANN401
    """Return a field for a count."""
    return CountField(label, validators, render_kw={"inputmode": "numeric", "autocomplete": "off"}, **more)
