"""What the way in asks for."""

from wtforms import EmailField, PasswordField

from app.web.forms.base import Form, needed


class SigninForm(Form):
    """An address and a password."""

    email = EmailField("E-mail", [needed("Which e-mail address?")])
    password = PasswordField("Password", [needed("Which password?")])
