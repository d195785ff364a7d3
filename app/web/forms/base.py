"""The ground every form stands on: its token, amounts as people type them, and refusals on the field."""

from collections.abc import Callable, Iterable
from datetime import timedelta
from enum import StrEnum
from typing import Any, ClassVar

from flask import abort, current_app, request, session
from werkzeug.datastructures import CombinedMultiDict, MultiDict
from wtforms import Field
from wtforms import Form as WtForm
from wtforms.csrf.session import SessionCSRF
from wtforms.fields.choices import SelectChoice  # type: ignore[attr-defined]
from wtforms.validators import ValidationError
from wtforms.widgets import TextInput

from app.core import quantities
from app.core.problems import Problem
from app.core.quantities import Units
from app.web.signin import actor


class Form(WtForm):
    """A form that reads the request, guards itself with a token and keeps what was typed."""

    class Meta:
        """WTForms' own switchboard."""

        csrf = True
        csrf_class = SessionCSRF
        csrf_time_limit = timedelta(hours=24)

        @property
        def csrf_secret(self) -> bytes:
            """The server's key signs the token."""
            return str(current_app.secret_key).encode()

        @property
        def csrf_context(self) -> Any:  # noqa: ANN401 - the session proxy
            """The token belongs to the signed-in session."""
            return session

    def __init__(self, **data: Any) -> None:  # noqa: ANN401 - defaults by field name
        """Read the request's fields when it posts some."""
        posted: MultiDict[str, Any] | None = None
        if request.method == "POST":
            posted = CombinedMultiDict([request.form, request.files]) if request.files else request.form
            if any("\0" in value for _, value in request.form.items(multi=True)):
                abort(400)  # PostgreSQL keeps no such letter in a text
        super().__init__(formdata=posted, **data)

    def refuse(self, problem: Problem) -> None:
        """Put what an act refused on the field it names, or on the whole form."""
        field = self._fields.get(problem.field)
        if field is None:
            self.form_errors.append(problem.message)
        else:
            field.errors = [*field.errors, problem.message]


class ActForm(Form):
    """A button: nothing but its token."""


class AmountField(Field):
    """Text such as ``10 gal`` that becomes an SI number; what was typed is kept on failure."""

    widget = TextInput()

    def __init__(
        self,
        label: str,
        validators: Any = None,  # noqa: ANN401 - WTForms' own looseness
        *,
        parse: Callable[[str, Units], float],
        show: Callable[[float, Units], str],
        **kwargs: Any,  # noqa: ANN401
    ) -> None:
        """Keep how to read and how to show."""
        super().__init__(label, validators, **kwargs)
        self.parse, self.show = parse, show

    def _value(self) -> str:
        if self.raw_data:
            return str(self.raw_data[0])
        return "" if self.data is None else self.show(float(self.data), actor().units)

    def process_formdata(self, valuelist: list[str]) -> None:
        """Read what was typed in the keeper's units."""
        text = valuelist[0].strip() if valuelist else ""
        if not text:
            self.data = None
            return
        try:
            self.data = self.parse(text, actor().units)
        except Problem as problem:
            self.data = None
            raise ValueError(problem.message) from problem


def volume_field(label: str, validators: Any = None, **kwargs: Any) -> AmountField:  # noqa: ANN401
    """Return a field that takes ``10 gal`` or ``38 L`` and gives litres."""
    return AmountField(
        label, validators, parse=quantities.parse_volume, show=quantities.show_volume, **kwargs
    )


def length_field(label: str, validators: Any = None, **kwargs: Any) -> AmountField:  # noqa: ANN401
    """Return a field that takes ``7.5 mm`` or ``0.3 in`` and gives millimetres."""
    return AmountField(
        label, validators, parse=quantities.parse_length, show=quantities.show_length, **kwargs
    )


def temperature_field(label: str, validators: Any = None, **kwargs: Any) -> AmountField:  # noqa: ANN401
    """Return a field that takes ``76 F`` or ``24.5`` and gives degrees Celsius."""
    return AmountField(
        label, validators, parse=quantities.parse_temperature, show=quantities.show_temperature, **kwargs
    )


def text(field: Field) -> str:
    """Return what a text field holds, trimmed; nothing typed is the empty text."""
    return str(field.data or "").strip()


class Needed:
    """A validator that asks for the field in words when it is empty."""

    field_flags: ClassVar = {"required": True}

    def __init__(self, words: str) -> None:
        """Keep the words."""
        self.words = words

    def __call__(self, _form: WtForm, field: Field) -> None:
        """Refuse an empty field, unless it was refused already."""
        if field.data in (None, "", []) and not field.errors and not field.process_errors:
            raise ValidationError(self.words)


def needed(words: str) -> Needed:
    """Return a validator that asks for the field in ``words`` when it is empty."""
    return Needed(words)


def options(pairs: Iterable[tuple[str, str]]) -> list[Any]:
    """Return choices for a select or radio field, from values and labels."""
    return [SelectChoice(value, label) for value, label in pairs]


def kinds(kind: type[StrEnum]) -> list[Any]:
    """Return the words of ``kind`` as choices."""
    return options((member.value, member.value.capitalize()) for member in kind)
