"""The database as commands open it: its folder made, its tables up to date."""

from collections.abc import Iterator
from contextlib import contextmanager

import click
from sqlalchemy.engine import make_url
from sqlalchemy.exc import SQLAlchemyError

from app.config import Config
from app.store import migrating
from app.store.session import RoomSession, make_engine, make_sessions, tell_sizes, writing


def prepare(config: Config) -> None:
    """Make the folder of a database file, and bring the tables to the newest step."""
    config.data.mkdir(parents=True, exist_ok=True)
    try:
        migrating.upgrade(config.database)
    except SQLAlchemyError as error:
        raise click.ClickException(unreachable(config, error)) from error


def measure(config: Config) -> None:
    """Let the database look how its rows are spread, before pages are asked of it."""
    engine = make_engine(config.database, durable=config.durable)
    try:
        with writing(engine).begin() as connection:
            tell_sizes(connection)
    finally:
        engine.dispose()


@contextmanager
def opened(config: Config) -> Iterator[RoomSession]:
    """Open one session that may write; whoever opens it commits."""
    engine = make_engine(config.database, durable=config.durable)
    try:
        with make_sessions(writing(engine))() as session:
            yield session
    finally:
        engine.dispose()


def shown(config: Config) -> str:
    """Return the address of the database without its password."""
    return make_url(config.database).render_as_string(hide_password=True)


def unreachable(config: Config, error: Exception) -> str:
    """Say that the database does not answer, and why."""
    why = str(getattr(error, "orig", None) or error).strip().splitlines() or [type(error).__name__]
    return f"The database {shown(config)} does not answer: {why[0]}. See BROODWATER_DATABASE."
