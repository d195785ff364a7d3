"""The database the tests run on: SQLite unless BROODWATER_TEST_DATABASE names another."""

import os
from contextlib import suppress
from pathlib import Path

from sqlalchemy import URL, Engine, create_engine, make_url, text

from app.store import migrating
from app.store.session import make_engine, sqlite_url

with suppress(ImportError):
    import psycopg  # noqa: F401 - its compiled part must load before a test freezes the clock


def test_url(folder: Path) -> str:
    """Return the address of the tests' database."""
    return own_url(folder)


def own_url(folder: Path, *names: str) -> str:
    """Return the address of a database, made where it is not there; every worker of a run has its own."""
    name = "_".join(part for part in (*names, os.environ.get("PYTEST_XDIST_WORKER", "")) if part)
    given = os.environ.get("BROODWATER_TEST_DATABASE")
    if not given:
        return sqlite_url(folder / f"tests{name}.sqlite3")
    url = make_url(given)
    if "test" not in (url.database or ""):
        raise RuntimeError(f"{url.database} may be in use: tests empty their database, so name one *test*")
    if not name:
        return given
    own = url.set(database=f"{url.database}_{name}")
    _create(url, own)
    return own.render_as_string(hide_password=False)


def _create(home: URL, own: URL) -> None:
    engine = create_engine(home, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        there = connection.scalar(text("SELECT 1 FROM pg_database WHERE datname = :it"), {"it": own.database})
        if not there:
            connection.exec_driver_sql(f'CREATE DATABASE "{own.database}"')
    engine.dispose()


def emptied(url: str) -> str:
    """Return ``url`` with nothing in the database, whatever an earlier run left there."""
    if url.startswith("postgresql"):
        engine = create_engine(url)
        with engine.begin() as connection:
            connection.exec_driver_sql("DROP SCHEMA IF EXISTS public CASCADE")
            connection.exec_driver_sql("CREATE SCHEMA public")
        engine.dispose()
    return url


def migrated(url: str) -> Engine:
    """Return an engine on a database brought to the newest step, empty of rows."""
    migrating.upgrade(emptied(url))
    return make_engine(url)
