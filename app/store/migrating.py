"""Brings a database to the newest step, and says whether it is there."""

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Engine

MIGRATIONS = Path(__file__).resolve().parents[2] / "migrations"


def _config(url: str) -> Config:
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    config.set_main_option("sqlalchemy.url", url.replace("%", "%%"))
    return config


def upgrade(url: str, revision: str = "head") -> None:
    """Take every step up to ``revision``."""
    command.upgrade(_config(url), revision)


def downgrade(url: str, revision: str) -> None:
    """Take steps back to ``revision``."""
    command.downgrade(_config(url), revision)


def check(url: str) -> None:
    """Raise when the models and the steps tell different stories."""
    command.check(_config(url))


def steps() -> list[str]:
    """Return the revisions, oldest first."""
    script = ScriptDirectory.from_config(_config("sqlite://"))
    return [step.revision for step in reversed(list(script.walk_revisions()))]


def at_head(engine: Engine) -> bool:
    """Say whether the database stands at the newest step."""
    with engine.connect() as connection:
        return MigrationContext.configure(connection).get_current_revision() == steps()[-1]
