"""The command ``broodwater check``: settings, database, migrations, key."""

from collections.abc import Iterator
from dataclasses import dataclass

import click
from sqlalchemy import Engine, text
from sqlalchemy.exc import SQLAlchemyError

from app.cli.database import shown, unreachable
from app.cli.keys import NAME
from app.config import BadSetting, Config, read
from app.store import migrating
from app.store.session import make_engine


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing looked at; ``code`` is 0 when it is in order."""

    code: int
    words: str


@click.command()
def check() -> None:
    """Say whether settings, database and migrations are in order.

    Ends with 0 when all is well, 1 when the database does not answer, 2 when a setting cannot be
    used, 3 when a migration is missing (`broodwater serve` takes it).
    """
    found = list(findings())
    for finding in found:
        click.echo(f"{'ok     ' if finding.code == 0 else 'WRONG  '}{finding.words}")
    raise click.exceptions.Exit(next((finding.code for finding in found if finding.code), 0))


def findings() -> Iterator[Finding]:
    """Look at one thing after the other; stop where the next would make no sense."""
    try:
        config = read()
    except BadSetting as error:
        yield Finding(2, f"settings: {error}")
        return
    yield Finding(0, f"settings: data in {config.data}, reached as {config.address}")
    yield _key(config)
    if config.database.startswith("sqlite") and not config.data.is_dir():
        yield Finding(1, f"database: {shown(config)} is not there yet; `broodwater serve` makes it")
        return
    yield from _database(config)


def _key(config: Config) -> Finding:
    path = config.data / NAME
    if config.secret_key or not path.exists():
        return Finding(0, "key: set" if config.secret_key else "key: will be made on first start")
    open_to = path.stat().st_mode & 0o077
    if open_to:
        return Finding(2, f"key: others can read {path}; take their rights away (chmod 600)")
    return Finding(0, "key: kept in the data folder")


def _database(config: Config) -> Iterator[Finding]:
    try:
        engine = make_engine(config.database)
    except (SQLAlchemyError, ImportError) as error:
        yield Finding(1, f"database: {error}")
        return
    try:
        yield from _tables(engine, config)
    except SQLAlchemyError as error:
        yield Finding(1, f"database: {unreachable(config, error)}")
    finally:
        engine.dispose()


def _tables(engine: Engine, config: Config) -> Iterator[Finding]:
    with engine.connect() as connection:
        connection.execute(text("SELECT 1"))
    yield Finding(0, f"database: {shown(config)} answers")
    if migrating.at_head(engine):
        yield Finding(0, f"migrations: at the newest step, {migrating.steps()[-1]}")
    else:
        yield Finding(3, "migrations: not at the newest step; `broodwater serve` takes it")
