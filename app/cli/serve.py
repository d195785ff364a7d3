"""``broodwater serve``: real use; the first start asks for the keeper's account."""

import sys
from datetime import UTC, datetime

import click
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.cli.hosting import configured, free_port, migrate, serve_until_stopped
from app.cli.parts import Parts
from app.config import Config
from app.core.problems import Problem
from app.services import accounts
from app.store.session import make_engine, make_sessions
from app.store.users import Role, User


@click.command()
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option("--port", type=int, default=8080, show_default=True, help="Port to listen on.")
@click.option("--email", help="The keeper's e-mail address, for the first start.")
@click.option("--fishroom", help="The fishroom's name, for the first start.")
@click.option("--password-stdin", is_flag=True, help="Read the keeper's password from standard input.")
@click.pass_obj
def serve(
    parts: Parts, host: str, port: int, email: str | None, fishroom: str | None, password_stdin: bool
) -> None:
    """Serve real fishrooms until stopped."""
    config = configured()
    migrate(config)
    _first_start(config, email, fishroom, password_stdin)
    port = free_port(host, port, port)
    click.echo(f"Serving {config.address} on {host}:{port}; stop with Ctrl-C.")
    serve_until_stopped(parts.application(config), host, port, config.threads)


def _first_start(config: Config, email: str | None, fishroom: str | None, password_stdin: bool) -> None:
    """Make the keeper's account where there is none yet."""
    engine = make_engine(config.database, durable=config.durable)
    with make_sessions(engine)() as session:
        if session.scalar(select(func.count(User.id))) == 0:
            _make_keeper(session, email, fishroom, password_stdin)
    engine.dispose()


def _make_keeper(session: Session, email: str | None, fishroom: str | None, password_stdin: bool) -> None:
    click.echo("First start: who keeps the fish?")
    email = email or click.prompt("E-mail")
    fishroom = fishroom or click.prompt("Name of the fishroom", default="Fishroom")
    password = _password(password_stdin)
    now = datetime.now(UTC)  # noqa: TID251 - the edge where the clock is read
    try:
        room = accounts.add_fishroom(session, fishroom or "", now)
        user = accounts.add_user(session, email or "", password, now)
    except Problem as problem:
        raise click.ClickException(problem.message) from problem
    accounts.add_member(session, room, user, Role.KEEPER)
    session.commit()


def _password(from_stdin: bool) -> str:
    if from_stdin:
        return sys.stdin.readline().rstrip("\n")
    return str(click.prompt("Password", hide_input=True, confirmation_prompt=True))
