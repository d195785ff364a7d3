"""How commands speak: refusals end with a line and a code, progress goes to standard error."""

import sys
from datetime import UTC, datetime

import click

from app.config import BadSetting, Config, read
from app.services.refusals import Refused


def now() -> datetime:
    """Return this moment; one of the edges where the clock is read."""
    return datetime.now(UTC)  # noqa: TID251 - an entry point


def tell(words: str) -> None:
    """Say on standard error what is going on."""
    click.echo(words, err=True)


def settings() -> Config:
    """Return the settings, or end with the one that cannot be used."""
    try:
        return read()
    except BadSetting as error:
        raise click.UsageError(str(error)) from error


def refused(refusal: Refused) -> click.ClickException:
    """Return a refusal as the terminal shows it."""
    return click.ClickException(refusal.message)


def password_from_stdin() -> str:
    """Return the first line of standard input."""
    password = sys.stdin.readline().rstrip("\r\n")
    if not password:
        raise click.UsageError("No password on standard input. Pipe one line into the command.")
    return password
