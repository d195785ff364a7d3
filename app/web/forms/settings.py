"""What the settings ask for."""

from typing import Any

from wtforms import EmailField, Field, PasswordField, RadioField, SelectField, StringField
from wtforms.validators import ValidationError

from app.queries.settings import ROLE_WORDS, UNIT_WORDS
from app.services.fishrooms import zones
from app.store.users import Role
from app.web.forms.base import Form, needed, options, temperature_field


def zones_by_continent() -> dict[str, list[Any]]:
    """Return the time zones by continent, as people look for theirs."""
    found: dict[str, list[Any]] = {}
    for name in sorted(zones()):
        continent, _, place = name.partition("/")
        words = place.replace("_", " ").replace("/", ", ") or name
        found.setdefault(continent if place else "No place", []).extend(options([(name, words)]))
    return found


class FishroomForm(Form):
    """How the fishroom measures, and what it is called."""

    name = StringField("Name of the fishroom", [needed("Give the fishroom a name.")])
    units = RadioField(
        "Units",
        [needed("Which units?")],
        choices=options((unit.value, words) for unit, words in UNIT_WORDS.items()),
    )
    set_point_c = temperature_field("Usual temperature", [needed("How warm is it usually?")])
    time_zone = SelectField(
        "Time zone", [needed("Which time zone?")], choices=zones_by_continent, validate_choice=False
    )


class MemberForm(Form):
    """Somebody with an account, and what they may do here."""

    email = EmailField("E-mail", [needed("Which e-mail address?")])
    role = RadioField(
        "Role",
        [needed("Which role?")],
        default=Role.HELPER.value,
        choices=options((role.value, f"{role.value.capitalize()}: {w}") for role, w in ROLE_WORDS.items()),
    )


class DismissForm(Form):
    """A member who is let go."""

    email = EmailField("E-mail", [needed("Whose e-mail address?")])


class PasswordForm(Form):
    """The old password and the new one, twice."""

    old = PasswordField("Password now", [needed("Which password do you have now?")])
    new = PasswordField("New password", [needed("Which password do you want?")])
    again = PasswordField("New password, again", [needed("Type the new one once more.")])

    def validate_again(self, field: Field) -> None:
        """Refuse two that differ."""
        if field.data != self.new.data:
            raise ValidationError("The two new passwords differ. Type the same one twice.")
