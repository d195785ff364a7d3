"""Runs the migrations on an engine of its own, with SQLite's foreign keys off while tables are rebuilt."""

from sqlite3 import Connection as SqliteConnection
from typing import Any, Literal

from alembic import context
from alembic.autogenerate.api import AutogenContext
from sqlalchemy import Connection, create_engine, event

from app.config import read
from app.store.base import UtcDateTime
from app.store.tables import METADATA


class ForeignKeysOn(RuntimeError):
    """A batch change of a parent table would delete its children by cascade."""


def _render(kind: str, item: Any, _context: AutogenContext) -> str | Literal[False]:  # noqa: ANN401
    """Write our own types as plain ones, so that old steps never need today's code."""
    if kind == "type" and isinstance(item, UtcDateTime):
        return "sa.DateTime(timezone=True)"
    return False


def _migrate(connection: Connection) -> None:
    sqlite = connection.dialect.name == "sqlite"
    if sqlite and connection.exec_driver_sql("PRAGMA foreign_keys").scalar():
        raise ForeignKeysOn("migrations need a connection with foreign keys off")
    context.configure(
        connection=connection,
        target_metadata=METADATA,
        render_as_batch=sqlite,
        compare_type=True,
        render_item=_render,
    )
    with context.begin_transaction():
        context.run_migrations()
    if sqlite and (broken := connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()):
        raise RuntimeError(f"rows point nowhere after migrating: {broken[:5]}")


def _run() -> None:
    given = context.config.attributes.get("connection")
    if given is not None:
        _migrate(given)
        return
    engine = create_engine(context.config.get_alembic_option("sqlalchemy.url") or read().database)
    if engine.dialect.name == "sqlite":

        @event.listens_for(engine, "connect")
        def _(connection: SqliteConnection, _record: object) -> None:
            connection.isolation_level = None
            connection.execute("PRAGMA foreign_keys = OFF")

        @event.listens_for(engine, "begin")
        def _(connection: Connection) -> None:
            connection.exec_driver_sql("BEGIN IMMEDIATE")

    try:
        with engine.connect() as connection:
            _migrate(connection)
            connection.commit()
    finally:
        engine.dispose()


_run()
