"""The command ``broodwater serve``: a fishroom of one's own, until it is stopped."""

import sys

import click
from sqlalchemy import select

from app.cli.database import measure, opened, prepare
from app.cli.keys import with_key
from app.cli.parts import Parts
from app.cli.reminding import reminding
from app.cli.serving import answer, hold_port, port_of
from app.cli.terminal import now, password_from_stdin, refused, settings, tell
from app.config import Config
from app.services import accounts
from app.services.refusals import Refused
from app.store.users import Role, User


@click.command()
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option(
    "--port", type=click.IntRange(0, 65535), default=8080, show_default=True, help="Port to listen on."
)
@click.option("--email", help="First start: the keeper's e-mail address.")
@click.option("--fishroom", help="First start: what the fishroom is called.")
@click.option("--password-stdin", is_flag=True, help="First start: read the password from standard input.")
@click.pass_obj
def serve(
    parts: Parts, host: str, port: int, email: str | None, fishroom: str | None, password_stdin: bool
) -> None:
    """Serve your own fishroom.

    Brings the database to the newest step first. The first start asks for the keeper's address,
    password and the fishroom's name, or takes them from the options.
    """
    config = with_key(settings())
    prepare(config)
    if not _has_user(config):
        _first_keeper(config, email, fishroom, password_stdin=password_stdin)
    measure(config)
    with hold_port(host, port) as held, reminding(config):
        words = f"Broodwater answers on http://{host}:{port_of(held)} (Ctrl+C ends it)."
        answer(parts.application(config), held, config, ready=lambda: tell(words))


def _has_user(config: Config) -> bool:
    with opened(config) as session:
        return session.scalar(select(User.id).limit(1)) is not None


def _first_keeper(config: Config, email: str | None, fishroom: str | None, *, password_stdin: bool) -> None:
    if not (email and fishroom and password_stdin) and _nobody_to_ask():
        raise click.UsageError(
            "There is no keeper yet, and nobody to ask. Start with "
            "--email ADDRESS --fishroom NAME --password-stdin, and pipe the password in."
        )
    tell("First start: who keeps this fishroom?")
    email = email or click.prompt("E-mail address", err=True)
    fishroom = fishroom or click.prompt("Name of the fishroom", err=True)
    password = (
        password_from_stdin()
        if password_stdin
        else click.prompt("Password", hide_input=True, confirmation_prompt=True, err=True)
    )
    with opened(config) as session:
        try:
            room = accounts.add_fishroom(session, fishroom, now())
            user = accounts.add_user(session, email, password, now())
        except Refused as refusal:
            raise refused(refusal) from refusal
        accounts.add_member(session, room, user, Role.KEEPER)
        session.commit()
    tell(f"{user.email} keeps {room.name}.")


def _nobody_to_ask() -> bool:
    return not sys.stdin.isatty()
