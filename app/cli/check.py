"""``broodwater check``: says whether everything a server needs is in order."""

from collections.abc import Callable

import click
from sqlalchemy import text

from app.cli.hosting import configured
from app.config import Config
from app.store import migrating
from app.store.session import make_engine


@click.command()
def check() -> None:
    """Check settings, database and migrations; exit with 1 where something is amiss."""
    config = configured()
    rows = [("settings", f"data in {config.data}"), *(_tried(name, look, config) for name, look in CHECKS)]
    for name, words in rows:
        click.echo(f"{name}: {words}")
    if any(words.startswith("NOT") for _, words in rows):
        raise SystemExit(1)


def _database(config: Config) -> str:
    engine = make_engine(config.database)
    with engine.connect() as connection:
        connection.execute(text("SELECT 1"))
    engine.dispose()
    return f"{engine.dialect.name} answers"


def _migrations(config: Config) -> str:
    engine = make_engine(config.database)
    at_head = migrating.at_head(engine)
    engine.dispose()
    return "newest step" if at_head else "NOT at the newest step; start `broodwater serve` to migrate"


CHECKS: tuple[tuple[str, Callable[[Config], str]], ...] = (
    ("database", _database),
    ("migrations", _migrations),
)


def _tried(name: str, look: Callable[[Config], str], config: Config) -> tuple[str, str]:
    try:
        return name, look(config)
    except Exception as error:  # noqa: BLE001 - whatever is wrong is the answer
        return name, f"NOT working: {error}"
