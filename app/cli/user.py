"""The command ``broodwater user``: accounts, and who may do what in which fishroom."""

import click
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.cli.database import opened, prepare
from app.cli.terminal import now, password_from_stdin, refused, settings, tell
from app.services import accounts
from app.services.refusals import Refused
from app.store.fishrooms import Fishroom
from app.store.users import Role, User


@click.group()
def user() -> None:
    """Give people access."""


@user.command()
@click.argument("email")
@click.option("--fishroom", "name", required=True, help="A new fishroom's name, or one to join.")
@click.option("--role", type=click.Choice([role.value for role in Role]), default=Role.KEEPER.value)
@click.option("--join", is_flag=True, help="Become one more keeper of a fishroom that is there already.")
@click.option("--password-stdin", is_flag=True, help="Read a new account's password from standard input.")
def add(email: str, name: str, role: str, join: bool, password_stdin: bool) -> None:
    """Give EMAIL a role in a fishroom; make the account where there is none.

    A keeper gets a new fishroom unless --join is given; helpers and readers join one that is there.
    """
    config = settings()
    prepare(config)
    with opened(config) as session:
        try:
            account = _account(session, email, password_stdin=password_stdin)
            room = _fishroom(session, name, new=Role(role) is Role.KEEPER and not join)
        except Refused as refusal:
            raise refused(refusal) from refusal
        accounts.add_member(session, room, account, Role(role))
        session.commit()
        tell(f"{account.email} is {role} of {room.name}.")


def _account(session: Session, email: str, *, password_stdin: bool) -> User:
    address = accounts.normal_email(email)
    found = session.scalar(select(User).where(User.email == address))
    if found is not None:
        return found
    if password_stdin:
        password = password_from_stdin()
    else:
        password = click.prompt("Password", hide_input=True, confirmation_prompt=True, err=True)
    return accounts.add_user(session, address, password, now())


def _fishroom(session: Session, name: str, *, new: bool) -> Fishroom:
    there = session.scalars(select(Fishroom).where(Fishroom.name == name.strip())).all()
    if new and there:
        raise Refused(f"There is a fishroom {name} already. Choose another name, or join it by --join.")
    if new:
        return accounts.add_fishroom(session, name, now())
    if len(there) != 1:
        found = "no fishroom" if not there else f"{len(there)} fishrooms"
        raise Refused(f"There is {found} called {name}. Give the name of one that is there.")
    return there[0]
