"""``broodwater user add``: people and their roles."""

import sys
from datetime import UTC, datetime

import click
from sqlalchemy import select

from app.cli.hosting import configured, migrate
from app.core.problems import Problem
from app.services import accounts
from app.services.refusals import Refused
from app.store.fishrooms import Fishroom
from app.store.session import RoomSession, make_engine, make_sessions
from app.store.users import Role, User


@click.group()
def user() -> None:
    """Add people."""


@user.command()
@click.argument("email")
@click.option(
    "--fishroom", required=True, help="Name of the fishroom; made where there is none of that name."
)
@click.option(
    "--role", type=click.Choice([role.value for role in Role]), default=Role.KEEPER.value, show_default=True
)
@click.option("--password-stdin", is_flag=True, help="Read the password from standard input.")
def add(email: str, fishroom: str, role: str, password_stdin: bool) -> None:
    """Add EMAIL to a fishroom, or change the role there; a new account needs a password."""
    config = configured()
    migrate(config)
    engine = make_engine(config.database, durable=config.durable)
    try:
        with make_sessions(engine)() as session:
            words = _add(session, email, fishroom, Role(role), password_stdin)
            session.commit()
    except Problem as problem:
        raise click.ClickException(problem.message) from problem
    finally:
        engine.dispose()
    click.echo(words)


def _add(session: RoomSession, email: str, fishroom: str, role: Role, password_stdin: bool) -> str:
    now = datetime.now(UTC)  # noqa: TID251 - the edge where the clock is read
    address = accounts.normal_email(email)
    person = session.scalar(select(User).where(User.email == address))
    if person is None:
        if not password_stdin:
            raise Refused("A new account needs a password: pass it with --password-stdin.", "password")
        password = sys.stdin.readline().rstrip("\n")
        person = accounts.add_user(session, address, password, now)
    room = _room(session, fishroom, role, now)
    accounts.add_member(session, room, person, role)
    return f"{address} is {role.value} of {room.name}."


def _room(session: RoomSession, name: str, role: Role, now: datetime) -> Fishroom:
    found = session.scalars(select(Fishroom).where(Fishroom.name == name.strip())).all()
    if len(found) > 1:
        raise Refused(
            f"There are {len(found)} fishrooms called {name}. Rename one in its settings.", "fishroom"
        )
    if found:
        return found[0]
    if role is not Role.KEEPER:
        raise Refused(f"There is no fishroom {name} yet; its first member must be a keeper.", "fishroom")
    return accounts.add_fishroom(session, name, now)
